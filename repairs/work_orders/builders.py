"""Who put a stack together or wrote it down: these hands neither look as the second person nor let it pass."""

from __future__ import annotations

from repairs.ledger.models import Event
from repairs.work_orders.models import Job, SignOff, Stage, StepKind


def builders(job: Job) -> set[int]:
    """Return who began, entered or signed any record of the build, or signed the mounting.

    The ledger says who entered: the rows of a record do not. A person stays the same person in whatever role.
    """
    records = job.stack_records.filter(stage=Stage.AS_BUILT)
    hands = records.values_list("pk", "started_by_id", "submitted_by_id", "signed_by_id")
    found: set[int | None] = set()
    keys = []
    for pk, *people in hands:
        keys.append(str(pk))
        found.update(people)
    if keys:
        entered = Event.objects.filter(subject_type="stackrecord", subject_id__in=keys)
        found.update(entered.order_by().values_list("actor_id", flat=True).distinct())
    mounting = SignOff.objects.filter(step__job=job, step__kind=StepKind.MOUNT, signed_as=SignOff.As.WORKER)
    found.update(mounting.values_list("person_id", flat=True))
    return {one for one in found if one is not None}
