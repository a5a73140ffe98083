"""What the board costs, at 1 000 jobs and at 100 000: python -m tests.benchmarks.bench_board"""

from __future__ import annotations

import sys

from tests.benchmarks.measuring import Page, measure

PAGES = [
    Page("first page", "/office/", "board__no"),
    Page("rows only", "/office/", "board__no", fragment=True),
    Page("a page from the middle", "/office/?after=9.20991231.1", "board__no"),
    Page("late jobs", "/office/?late=1", "is-late"),
    Page("on hold", "/office/?hold=1", "flag--hold"),
    Page("one step", "/office/?step=winding", "Winding"),
    Page("one customer", "/office/?customer=kestrel", "Kestrel"),
]

if __name__ == "__main__":
    sys.exit(measure(PAGES))
