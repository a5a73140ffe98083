"""Find jobs by any fragment of their number, customer, site, serial, tag or purchase order."""

from __future__ import annotations

from repairs.work_orders.models import Job


def index_job(job: Job) -> None:
    """Keep what a job can be found by; called by the services that change it."""
