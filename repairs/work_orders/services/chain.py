"""Give a job whose motor hangs on a stack every step that it ships by, whatever its template says."""

from __future__ import annotations

from typing import Final

from django.db.models import F, Max
from django.utils.text import capfirst

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.models import Job, Step, StepKind
from repairs.work_orders.services.board_row import refresh_board

LINKS: Final = (
    StepKind.LAY_OUT,
    StepKind.MOUNT,
    StepKind.SECOND_PERSON,
    StepKind.END_PLAY,
    StepKind.FINAL_TEST,
    StepKind.SHIP,
)


def complete_chain(*, actor: Actor, job: Job) -> None:
    """Add the steps that the route lacks, each behind the one before it. The caller holds the job's row."""
    added = False
    for place, kind in enumerate(LINKS):
        if job.steps.filter(kind=kind).exists():
            continue
        position = _place_for(job, place)
        for later in job.steps.filter(position__gte=position).order_by("-position"):
            Step.objects.filter(pk=later.pk).update(position=F("position") + 1)
        title = str(capfirst(StepKind(kind).label))
        step = Step.objects.create(job=job, position=position, kind=kind, title=title)
        record_event(
            actor=actor,
            verb="step.added",
            subject=step,
            job_number=job.number,
            after={"step": title, "kind": kind},
        )
        added = True
    if added:
        refresh_board(job)


def _place_for(job: Job, place: int) -> int:
    """Return the position behind the link before, else before the link after, else at the end."""
    before = job.steps.filter(kind__in=LINKS[:place]).aggregate(last=Max("position"))["last"]
    if before is not None:
        return int(before) + 1
    after = job.steps.filter(kind__in=LINKS[place:]).order_by("position").first()
    if after is not None:
        return int(after.position)
    return int(job.steps.aggregate(last=Max("position"))["last"] or 0) + 10
