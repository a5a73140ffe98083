"""The one guard of an ended job: whatever writes to a job asks here first.

A closed or cancelled job takes reopening, pickup and invoice data, links, sending and reprints, and nothing else. Every
other service calls ``lock_open_job``; a test walks all services and finds one that does not.
"""

from __future__ import annotations

from django.utils.translation import gettext as _

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


class JobEndedError(WorkOrderError):
    """The job is closed or cancelled; ``job`` is its row as it is now."""

    def __init__(self, job: Job) -> None:
        super().__init__(
            _("Job {number} has ended ({state}). A lead can reopen it.").format(
                number=job.number, state=job.get_state_display()
            )
        )
        self.job = job


def lock_open_job(job: Job | int) -> Job:
    """Return a job as it is now, its row locked until the transaction ends, so that nobody ends it meanwhile.

    Raises JobEndedError where it is closed or cancelled. Call it inside the transaction that writes.
    """
    now = Job.objects.select_for_update().get(pk=job if isinstance(job, int) else job.pk)
    refuse_ended(now)
    return now


def refuse_ended(job: Job) -> None:
    """Refuse a job that ended as far as this row knows: before pictures or papers are made, which takes long."""
    if job.state != Job.State.OPEN:
        raise JobEndedError(job)
