"""What is kept from whom: a stack as built is recorded, and answered for, without sight of the specified one."""

from __future__ import annotations

from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.builders import builders
from repairs.work_orders.looks import comparison_open
from repairs.work_orders.models import Job, StackRecord, Stage, Step, StepKind


def kept_back(recorder_id: int | None, *, reader_id: int, may_approve: bool) -> bool:
    """Whether the specified stack is kept from a reader while ``recorder_id`` records the stack as built.

    A lead may look, unless the lead is the one who records.
    """
    return recorder_id is not None and (recorder_id == reader_id or not may_approve)


def hidden_stages(user: User, job: Job) -> frozenset[str]:
    """Return the stages of the stack that are kept from this person now: the one rule for every page and paper."""
    may_approve = user.may(Permission.APPROVE_STACKS)
    draft = job.stack_records.filter(stage=Stage.AS_BUILT).exclude(state=StackRecord.State.SIGNED)
    recorder = draft.values_list("started_by_id", flat=True).first()
    hidden: set[str] = set()
    if kept_back(recorder, reader_id=user.pk, may_approve=may_approve):
        hidden.add(Stage.SPECIFIED)
    if awaits_answers(user, job):
        hidden.add(Stage.AS_BUILT)
        if not may_approve:
            hidden.add(Stage.SPECIFIED)
    return frozenset(hidden)


def hidden_from(user: User, job: Job, stage: str) -> bool:
    """Whether a stage of the stack is kept from this person; what was found is kept from nobody."""
    return stage != Stage.AS_FOUND and stage in hidden_stages(user, job)


def awaits_answers(user: User, job: Job) -> bool:
    """Whether this person can be the second one and has still to answer for a bearing, before both stacks are shown.

    Whoever built knows the stack; where it differs, the stopped record shows how.
    """
    if not user.may(Permission.WORK_STEPS):
        return False
    if not job.steps.filter(kind=StepKind.SECOND_PERSON, state=Step.State.WAITING).exists():
        return False
    record = job.stack_records.filter(stage=Stage.AS_BUILT).order_by("-revision").first()
    if record is None or not record.is_frozen or record.differences:
        return False
    return not comparison_open(record, user.pk) and user.pk not in builders(job)
