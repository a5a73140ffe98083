"""What is kept from whom: a stack as built is recorded, and answered for, without sight of the specified one."""

from __future__ import annotations

from collections.abc import Sequence

from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.builders import builders, hands_on
from repairs.work_orders.looks import comparison_open
from repairs.work_orders.models import Job, StackRecord, Stage, Step, StepKind


def kept_back(recorder_id: int | None, *, reader_id: int, may_approve: bool) -> bool:
    """Whether the specified stack is kept from a reader while ``recorder_id`` records the stack as built.

    A lead may look, unless the lead is the one who records.
    """
    return recorder_id is not None and (recorder_id == reader_id or not may_approve)


def hidden_stages(user: User, job: Job, records: Sequence[StackRecord] | None = None) -> frozenset[str]:
    """Return the stages of the stack that are kept from this person now: the one rule for every page and paper.

    ``records`` are the job's stack records where the caller has read them, oldest first.
    """
    if records is None:
        records = list(job.stack_records.filter(stage=Stage.AS_BUILT))
    built = [record for record in records if record.stage == Stage.AS_BUILT]
    may_approve = user.may(Permission.APPROVE_STACKS)
    recorder = next((record.started_by_id for record in built if not record.is_frozen), None)
    hidden: set[str] = set()
    if kept_back(recorder, reader_id=user.pk, may_approve=may_approve):
        hidden.add(Stage.SPECIFIED)
    if _awaits_answers(user, job, built):
        hidden.add(Stage.AS_BUILT)
        if not may_approve:
            hidden.add(Stage.SPECIFIED)
    return frozenset(hidden)


def hidden_from(user: User, job: Job, stage: str) -> bool:
    """Whether a stage of the stack is kept from this person; what was found is kept from nobody."""
    return stage != Stage.AS_FOUND and stage in hidden_stages(user, job)


def _awaits_answers(user: User, job: Job, built: Sequence[StackRecord]) -> bool:
    """Whether this person can be the second one and has still to answer for a bearing, before both stacks are shown.

    Whoever built knows the stack; where it differs, the stopped record shows how. What the rows at hand say is looked
    at before anything is asked.
    """
    if not built or not user.may(Permission.WORK_STEPS):
        return False
    record = max(built, key=lambda one: one.revision)
    if not record.is_frozen or record.differences or user.pk in hands_on(built):
        return False
    if not job.steps.filter(kind=StepKind.SECOND_PERSON, state=Step.State.WAITING).exists():
        return False
    return not comparison_open(record, user.pk) and user.pk not in builders(job, built)
