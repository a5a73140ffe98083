"""The step that a form of the bench was made for: its page names it, so that the entry is filed there."""

from __future__ import annotations

from repairs.edge.numbers import row_key
from repairs.people.requests import ShopRequest
from repairs.work_orders.entry_origin import step_of_entry
from repairs.work_orders.models import Job, Step


def posted_step(request: ShopRequest, job: Job) -> Step | None:
    """Return the step whose page the form was on; a form that names none of this job is filed at the current one."""
    return step_of_entry(job, row_key(request.POST.get("made_step", "")))
