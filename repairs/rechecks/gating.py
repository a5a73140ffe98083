"""A stack that became STOP since a lead approved it is not built on before somebody has looked at it."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.rechecks.models import Change
from repairs.work_orders.gates import add_gate
from repairs.work_orders.models import Step, StepKind
from repairs.work_orders.reasons import Reason
from repairs.work_orders.services.stack_signing import current_specified

GUARDED: Final = (
    StepKind.LAY_OUT,
    StepKind.MOUNT,
    StepKind.SECOND_PERSON,
    StepKind.END_PLAY,
    StepKind.FINAL_TEST,
)


def nothing_became_stop(step: Step, _actor: Actor) -> list[str]:
    """A gate: a STOP that a re-check found in the stack that holds now is marked seen, with what is done about it.

    What it found in a revision that a newer one has replaced keeps nobody from going on.
    """
    specified = current_specified(step.job)
    if specified is None:
        return []
    changes = Change.objects.unseen().filter(job_id=step.job_id, became_stop=True)
    found = changes.filter(record_id__gte=specified.pk).select_related("recheck").first()
    if found is None:
        return []
    words = _(
        "The signed stack is now STOP: {why} ({run}). Check what changed. Specify a new "
        "stack, or mark it seen with the action taken."
    )
    return [words.format(why=found.recheck.get_why_display(), run=found.recheck)]


def no_stop_ships(step: Step, _actor: Actor) -> list[str]:
    """A gate: a STOP that a re-check found in the stack that holds now does not ship, seen or not.

    It is specified anew, or two people override it.
    """
    specified = current_specified(step.job)
    if specified is None:
        return []
    changes = Change.objects.filter(
        job_id=step.job_id, became_stop=True, record_id__gte=specified.pk, replaced_by__isnull=True
    ).select_related("recheck")
    words = _("The signed stack is now STOP: {why} ({run}). Specify a new stack, or ask for an override.")
    return [
        Reason(words.format(why=one.recheck.get_why_display(), run=one.recheck), f"recheck:{one.pk}")
        for one in changes
    ]


def guard_building() -> None:
    """Keep a stack that became STOP from being built, run and shipped."""
    for kind in GUARDED:
        add_gate(kind, nothing_became_stop)
    add_gate(StepKind.SHIP, no_stop_ships)
