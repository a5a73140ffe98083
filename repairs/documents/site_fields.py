"""What is written down when a motor is started at the site: one table for the paper, the form and the office."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from repairs.measurements.engineering.shape import Field
from repairs.measurements.engineering.subjects.vibration import POINTS
from repairs.measurements.shop_tests.forms import YES_NO
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.models import Motor

Choices = tuple[tuple[str, str | Promise], ...]
LEVELS: Final[Choices] = (("below", _("below mark")), ("at", _("at mark")), ("above", _("above mark")))
TURNS: Final[Choices] = (("ccw", _("counterclockwise (CCW)")), ("cw", _("clockwise (CW)")))
SECTIONS: Final[dict[str, str | Promise]] = {
    "before": _("Before the motor is energized"),
    "turning": _("First turn, before the pump is coupled"),
    "running": _("Running with the pump"),
}


@dataclass(frozen=True, slots=True)
class SiteField:
    """One entry. ``result`` is the shop's own figure that stands beside it; ``only`` names whom it is asked of."""

    code: str
    section: str
    label: str | Promise
    quantity: str
    low: float = 0.0
    high: float = 1e9
    choices: Choices = ()
    result: str = ""
    only: str = ""

    @property
    def measured(self) -> Field:
        """The entry as a field of numbers reads it."""
        return Field(self.code, self.quantity, self.low, self.high, needed=False)


def _number(
    code: str, section: str, label: str | Promise, quantity: str, low: float, high: float, result: str = ""
) -> SiteField:
    return SiteField(code, section, label, quantity, low, high, result=result)


def _chosen(
    code: str, section: str, label: str | Promise, choices: Choices = YES_NO, only: str = ""
) -> SiteField:
    return SiteField(code, section, label, "choice", choices=choices, only=only)


INSULATION: Final = _("Insulation to ground, 1 min (limit and shop value at 40 °C)")
# Common practice of the trade at start-up, in our own words; no source.
FIELDS: Final = (
    _number("ir", "before", INSULATION, "insulation", 0, 1e7, "insulation"),
    _number("ir_volts", "before", _("Test voltage (DC)"), "voltage", 10, 20_000),
    _number("ir_winding_c", "before", _("Winding temperature"), "temperature", -40, 200),
    _chosen("block_out", "before", _("Rotor block removed")),
    _chosen("oil_top_standing", "before", _("Top oil level, motor standing"), LEVELS),
    _chosen("oil_low_standing", "before", _("Bottom oil level, motor standing"), LEVELS, "bottom_oil"),
    _chosen("ratchet", "before", _("Non-reverse ratchet holds (by hand, locked out)"), only="ratchet"),
    _chosen("coupling", "before", _("Coupling bolted for upthrust"), only="vertical"),
    _chosen("rotation", "turning", _("Rotation, as seen from the top"), TURNS),
    _chosen("oil_top_running", "running", _("Top oil level, motor running"), LEVELS),
    _chosen("oil_low_running", "running", _("Bottom oil level, motor running"), LEVELS, "bottom_oil"),
    *(_number(f"site_{one}", "running", WORDS["vibration"].results[one], "vibration", 0, 500, one) for one in POINTS),
    _number("site_minutes", "running", _("Run time at this reading"), "minutes", 0, 100_000),
    _number("site_ambient", "running", _("Ambient temperature"), "temperature", -40, 80),
    _number("site_top_c", "running", _("Top bearing temperature"), "temperature", -40, 300, "temp_top"),
    _number("site_bottom_c", "running", _("Bottom bearing temperature"), "temperature", -40, 300, "temp_bottom"),
)  # fmt: skip
BY_CODE: Final = {field.code: field for field in FIELDS}


def asked_of(motor: Motor) -> list[SiteField]:
    """Return what is asked of a motor. What its plate does not say is asked: nothing is left out unless it is known."""
    left_out = {
        "vertical": not motor.is_vertical,
        "ratchet": not motor.is_vertical or motor.si("non_reverse") == "no",
        "bottom_oil": motor.si("oil_capacity_bottom_l") is None,
    }
    return [field for field in FIELDS if not left_out.get(field.only, False)]
