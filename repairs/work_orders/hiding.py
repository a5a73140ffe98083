"""What is kept from whom: a stack as built is recorded without sight of the specified one."""

from __future__ import annotations

from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.models import Job, StackRecord, Stage


def hidden_from(user: User, job: Job, stage: str) -> bool:
    """Whether the specified stack is kept from this person: while a stack as built is being recorded.

    A lead may look, unless the lead is the one who records.
    """
    if stage != Stage.SPECIFIED:
        return False
    draft = job.stack_records.filter(stage=Stage.AS_BUILT).exclude(state=StackRecord.State.SIGNED)
    recorder = draft.values_list("started_by_id", flat=True).first()
    return recorder is not None and (recorder == user.pk or not user.may(Permission.APPROVE_STACKS))
