"""Which readings a measured gate asks for, and every result that a limit can be entered for. No database.

Points of vibration as a shop takes them on a vertical motor, two radial at right angles and one axial at the top
bearing, two radial at the bottom: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from repairs.measurements.engineering.subjects import SUBJECTS
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import QUANTITIES
from repairs.work_orders.models import StepKind


@dataclass(frozen=True, slots=True)
class AskedReading:
    """One reading that a gate waits for. ``of_run``: it is taken while the motor turns."""

    code: str
    label: str | Promise
    kind: str
    units: tuple[str, ...]
    of_run: bool = False


_LENGTH: Final = ("mm", "in")
_VELOCITY: Final = ("mm/s rms", "in/s pk")
ASKED_READINGS: Final = (
    AskedReading("end_play", _("End play"), StepKind.END_PLAY, _LENGTH),
    AskedReading("runout", _("Shaft runout (TIR)"), StepKind.END_PLAY, _LENGTH),
    AskedReading(
        "insulation", _("Insulation resistance, 1 min, corrected to 40 °C"), StepKind.FINAL_TEST, ("MΩ",)
    ),
    AskedReading("vib_top_0", _("Vibration, top bearing, radial 0°"), StepKind.FINAL_TEST, _VELOCITY, True),
    AskedReading("vib_top_90", _("Vibration, top bearing, radial 90°"), StepKind.FINAL_TEST, _VELOCITY, True),
    AskedReading("vib_top_axial", _("Vibration, top bearing, axial"), StepKind.FINAL_TEST, _VELOCITY, True),
    AskedReading(
        "vib_low_0", _("Vibration, bottom bearing, radial 0°"), StepKind.FINAL_TEST, _VELOCITY, True
    ),
    AskedReading(
        "vib_low_90", _("Vibration, bottom bearing, radial 90°"), StepKind.FINAL_TEST, _VELOCITY, True
    ),
)
# Tests that are made while the motor turns: a run that the customer did without leaves them out.
OF_RUN: Final = frozenset({"no_load", "load_run", "vibration", "run_temperatures", "shaft_voltage"})
BY_CODE: Final = {
    **{
        code: AskedReading(
            code,
            WORDS[test.code].results[code],
            "",
            tuple(unit.name for unit in QUANTITIES[quantity]),
            test.code in OF_RUN,
        )
        for test in SUBJECTS
        for code, quantity in test.results.items()
    },
    **{one.code: one for one in ASKED_READINGS},
}


def asked_at(kind: str) -> tuple[AskedReading, ...]:
    """Return what a kind of step is measured by, in the order in which it is taken."""
    return tuple(one for one in ASKED_READINGS if one.kind == kind)
