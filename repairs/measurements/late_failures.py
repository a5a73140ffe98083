"""A reading that failed on a step that is signed already shuts the gates of the steps behind it."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.public import exact
from repairs.ledger.services import Actor
from repairs.measurements.evidence import failing
from repairs.work_orders.gates import add_gate
from repairs.work_orders.models import Step, StepKind

# What is measured of the motor as it leaves; a failure as found is what the shop repairs.
JUDGED: Final = (StepKind.BALANCE, StepKind.END_PLAY, StepKind.FINAL_TEST)
BEHIND: Final = (
    StepKind.SPECIFY, StepKind.LAY_OUT, StepKind.MOUNT, StepKind.SECOND_PERSON, StepKind.END_PLAY,
    StepKind.FINAL_TEST, StepKind.SHIP, StepKind.REPORT,
)  # fmt: skip


def nothing_failed_after_its_signature(step: Step, _actor: Actor) -> list[str]:
    """A gate: of each measured kind the last signed step before this one has no failed reading that stands."""
    done = step.job.steps.filter(kind__in=JUDGED, state=Step.State.DONE, position__lt=step.position)
    last = {one.kind: one for one in done.order_by("position")}
    words = _("“{step}” is signed, and {quantity} {value} {unit} fails its limit. Repeat that step.")
    return [
        words.format(step=one.title, quantity=bad.quantity, value=exact(bad.value), unit=bad.unit)
        for one in last.values()
        for bad in failing(one)
    ]


def guard_later_steps() -> None:
    """Ask this gate of every step behind a measured one."""
    for kind in BEHIND:
        add_gate(kind, nothing_failed_after_its_signature)
