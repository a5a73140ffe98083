"""Who put a stack together or wrote it down: these hands neither look as the second person nor let it pass."""

from __future__ import annotations

from collections.abc import Sequence

from repairs.ledger.models import Event
from repairs.work_orders.models import Job, SignOff, StackRecord, Stage, StepKind


def hands_on(built: Sequence[StackRecord]) -> set[int]:
    """Return who began, submitted or signed these records: what their rows say themselves."""
    hands = ((record.started_by_id, record.submitted_by_id, record.signed_by_id) for record in built)
    return {one for three in hands for one in three if one is not None}


def builders(job: Job, built: Sequence[StackRecord] | None = None) -> set[int]:
    """Return who began, entered or signed any record of the build, or signed the mounting.

    The ledger says who entered: the rows of a record do not. A person stays the same person in whatever role.
    ``built`` are the job's records as built where the caller has read them.
    """
    if built is None:
        built = list(job.stack_records.filter(stage=Stage.AS_BUILT))
    found: set[int | None] = {*hands_on(built)}
    if built:
        keys = [str(record.pk) for record in built]
        entered = Event.objects.filter(subject_type="stackrecord", subject_id__in=keys)
        found.update(entered.order_by().values_list("actor_id", flat=True).distinct())
    mounting = SignOff.objects.filter(step__job=job, step__kind=StepKind.MOUNT, signed_as=SignOff.As.WORKER)
    found.update(mounting.values_list("person_id", flat=True))
    return {one for one in found if one is not None}
