"""What a job's page costs, at 1 000 jobs and at 100 000: python -m tests.benchmarks.bench_job_page"""

from __future__ import annotations

import sys

from tests.benchmarks.measuring import JOB_WITH_HISTORY, Page, measure

BUDGET = 40
PAGES = [Page("job page", f"/office/jobs/{JOB_WITH_HISTORY}/", JOB_WITH_HISTORY, BUDGET)]

if __name__ == "__main__":
    sys.exit(measure(PAGES))
