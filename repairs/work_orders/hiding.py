"""What is kept from whom: a stack as built is recorded without sight of the specified one."""

from __future__ import annotations

from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.models import Job, StackRecord, Stage


def kept_back(recorder_id: int | None, *, reader_id: int, may_approve: bool) -> bool:
    """Whether the specified stack is kept from a reader while ``recorder_id`` records the stack as built.

    A lead may look, unless the lead is the one who records.
    """
    return recorder_id is not None and (recorder_id == reader_id or not may_approve)


def hidden_from(user: User, job: Job, stage: str) -> bool:
    """Whether the specified stack is kept from this person; asks for the record only when it matters."""
    if stage != Stage.SPECIFIED:
        return False
    draft = job.stack_records.filter(stage=Stage.AS_BUILT).exclude(state=StackRecord.State.SIGNED)
    recorder = draft.values_list("started_by_id", flat=True).first()
    return kept_back(recorder, reader_id=user.pk, may_approve=user.may(Permission.APPROVE_STACKS))
