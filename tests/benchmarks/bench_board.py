"""What the board costs, at 1 000 jobs and at 100 000: python -m tests.benchmarks.bench_board"""

from __future__ import annotations

import sys

from tests.benchmarks.measuring import Page, measure

# Fifty rows, each laid out by the template.
BUDGET = 40
# A page of the board costs the same in a large shop.
GROWTH = 1.2
PAGES = [
    Page("first page", "/office/", "board__no", BUDGET, growth=GROWTH),
    Page("rows only", "/office/", "board__no", BUDGET, fragment=True, growth=GROWTH),
    Page("a page from the middle", "/office/?after=9.20991231.1", "board__no", BUDGET, growth=GROWTH),
    Page("late jobs", "/office/?late=1", "is-late", BUDGET, growth=GROWTH),
    Page("on hold", "/office/?hold=1", "flag--hold", BUDGET, growth=GROWTH),
    Page("one step", "/office/?step=winding", "Winding", BUDGET, growth=GROWTH),
    # The name is read in every row until fifty are found.
    Page("one customer", "/office/?customer=kestrel", "Kestrel", BUDGET, growth=GROWTH),
]

if __name__ == "__main__":
    sys.exit(measure(PAGES))
