"""What the readings of a step say of it: a test without a figure was not made, one out of its limits was not passed."""

from __future__ import annotations

from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.measurements.models import Reading
from repairs.work_orders.gates import add_gate
from repairs.work_orders.models import Step, StepKind
from repairs.work_orders.reasons import Reason


def failed_readings(step: Step) -> list[Reading]:
    """Return the readings of a step that are out of limits; of one quantity the newest counts."""
    newest = {
        one.quantity.casefold(): one for one in step.readings.filter(replaced_by__isnull=True).order_by("id")
    }
    return [one for one in newest.values() if one.verdict == Reading.Verdict.FAIL]


def readings_are_good(step: Step, _actor: Actor) -> list[str]:
    """A gate: what is measured on a step is written down, and nothing of it is out of limits."""
    if not step.readings.exists():
        words = _("No reading of this step is kept yet. Write down what was measured.")
        return [Reason(words, f"unmeasured:{step.pk}")]
    words = _("{quantity}: {value} {unit} is out of its limit. Put it right and measure again.")
    return [
        Reason(
            words.format(quantity=one.quantity, value=f"{one.value.normalize():f}", unit=one.unit),
            f"reading:{one.pk}",
        )
        for one in failed_readings(step)
    ]


def guard_tests() -> None:
    """Keep end play and final test from being signed without a figure, or with one that failed."""
    for kind in (StepKind.END_PLAY, StepKind.FINAL_TEST):
        add_gate(kind, readings_are_good)
