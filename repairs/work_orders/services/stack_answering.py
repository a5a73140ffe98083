"""Answer what a stack as found is asked for: the part was looked for and is not there."""

from __future__ import annotations

from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.looked_for import ASKED
from repairs.work_orders.models import StackRecord
from repairs.work_orders.services.stack_changes import Words, change_record


def say_absent(
    *, actor: Actor, record: StackRecord, version: int, asked: str, absent: bool, form_key: str = ""
) -> StackRecord:
    """Say that somebody looked for a part and there is none, or take that back."""
    if asked not in ASKED:
        raise WorkOrderError(_("The list does not ask for this part."))

    def change(now: StackRecord) -> tuple[Words, Words]:
        before = {"absent": now.absent}
        now.absent = [
            one for one in ASKED if (one == asked and absent) or (one != asked and one in now.absent)
        ]
        return before, {"absent": now.absent}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.described",
        change=change,
    )
