"""What a search costs while one types, at 1 000 jobs and at 100 000: python -m tests.benchmarks.bench_search"""

from __future__ import annotations

import sys

from tests.benchmarks.measuring import Page, measure

ADDRESS = "/office/search/?q="
# Words that many rows hold make the index read long lists; they may cost more, but not without bound.
COMMON_WORDS_BUDGET = 40
PAGES = [
    Page("a job's number", f"{ADDRESS}10-0321", "10-0321", fragment=True),
    Page("beginning of a number", f"{ADDRESS}10-03", "10-03", fragment=True),
    Page("beginning of a serial", f"{ADDRESS}rm-0004", "RM-0004", fragment=True),
    Page("inside of a serial", f"{ADDRESS}00432-", "00432-", fragment=True),
    Page("a tag", f"{ADDRESS}well+17", "Well 17", fragment=True),
    Page("beginning of a customer", f"{ADDRESS}kes", "Kestrel", fragment=True),
    Page("two characters", f"{ADDRESS}sa", "Saltgrass", fragment=True),
    Page("a purchase order", f"{ADDRESS}4321-321", "4321-321", fragment=True),
    Page("two words", f"{ADDRESS}saltgrass+booster", "booster", COMMON_WORDS_BUDGET, fragment=True),
    Page("a word in every job", f"{ADDRESS}station", "station", COMMON_WORDS_BUDGET, fragment=True),
]

if __name__ == "__main__":
    sys.exit(measure(PAGES))
