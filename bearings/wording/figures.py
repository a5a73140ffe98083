"""Figures in the reader's units, rounded for the eye; the answer itself is never rounded."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log10
from typing import Final, Literal

from django.utils.translation import gettext as _

Units = Literal["si", "us"]
NO_BREAK: Final = "\u00a0"
NEWTONS_PER_POUND_FORCE: Final = 4.4482216152605
MM_PER_INCH: Final = 25.4
MANY_HOURS: Final = 1e6
# The signs that people know, for the names of units that the stack file uses.
SIGNS: Final = {
    "1": "", "deg": "°", "degC": "°C", "mm2": "mm²", "um": "µm", "mm2/s": "mm²/s", "N/mm2": "N/mm²"
}  # fmt: skip
# The units that change with the reader.
FIGURE_UNITS: Final = frozenset({"N", "mm", "um", "rpm", "h", "W", "degC"})


def sign_of(unit: str) -> str:
    """Return a unit as people write it; a count has none."""
    return SIGNS.get(unit, unit)


def grouped(number: float, decimals: int = 0) -> str:
    """Return a number with its thousands set apart by a no-break space."""
    text = f"{number:,.{decimals}f}".replace(",", NO_BREAK)
    return "0" if text == "-0" else text


def significant(number: float, digits: int = 3) -> str:
    """Return a number to so many significant digits, without an exponent."""
    if number == 0:
        return "0"
    decimals = digits - 1 - floor(log10(abs(number)))
    return grouped(round(number, decimals), max(0, decimals))


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes figures in one system of units."""

    units: Units = "si"

    def of(self, value: float, unit: str) -> str:
        """Return a figure of the stack file or of an answer in the reader's unit."""
        writers = {
            "N": self.force,
            "rpm": self.speed,
            "h": self.hours,
            "um": self.small_length,
            "W": self.power,
            "mm": self.length,
            "degC": self.temperature,
        }
        if unit in FIGURE_UNITS:
            return writers[unit](value)
        return f"{self.ratio(value)}{NO_BREAK}{sign_of(unit)}".strip()

    def force(self, newtons: float | None) -> str:
        """Return a force in N, kN or lbf."""
        if newtons is None:
            return _("unknown")
        if self.units == "us":
            return f"{grouped(newtons / NEWTONS_PER_POUND_FORCE)}{NO_BREAK}lbf"
        if abs(newtons) >= 100_000:
            return f"{significant(newtons / 1000, 4)}{NO_BREAK}kN"
        return f"{grouped(newtons)}{NO_BREAK}N"

    def speed(self, rpm: float | None) -> str:
        """Return a speed in rpm."""
        return _("unknown") if rpm is None else f"{grouped(rpm)}{NO_BREAK}rpm"

    def hours(self, hours: float | None) -> str:
        """Return a life in hours; beyond a million nothing more is claimed."""
        if hours is None:
            return _("unknown")
        if hours > MANY_HOURS:
            return f">{NO_BREAK}{grouped(MANY_HOURS)}{NO_BREAK}h"
        return f"{grouped(hours)}{NO_BREAK}h"

    def small_length(self, micrometres: float | None) -> str:
        """Return a small length in micrometres or ten-thousandths of an inch."""
        if micrometres is None:
            return _("unknown")
        if self.units == "us":
            return f"{micrometres / 1000 / MM_PER_INCH:.4f}{NO_BREAK}in"
        return f"{micrometres:g}{NO_BREAK}µm"

    def length(self, millimetres: float | None) -> str:
        """Return a length in millimetres or inches."""
        if millimetres is None:
            return _("unknown")
        if self.units == "us":
            return f"{millimetres / MM_PER_INCH:.4f}{NO_BREAK}in"
        return f"{millimetres:g}{NO_BREAK}mm"

    def rate(self, newtons_per_mm: float) -> str:
        """Return the rate of a spring in N/mm or lbf/in."""
        if self.units == "us":
            pounds_per_inch = newtons_per_mm * MM_PER_INCH / NEWTONS_PER_POUND_FORCE
            return f"{significant(pounds_per_inch)}{NO_BREAK}lbf/in"
        return f"{significant(newtons_per_mm)}{NO_BREAK}N/mm"

    def temperature(self, celsius: float | None) -> str:
        """Return a temperature in degrees Celsius or Fahrenheit."""
        if celsius is None:
            return _("unknown")
        if self.units == "us":
            return f"{grouped(celsius * 9 / 5 + 32)}{NO_BREAK}°F"
        return f"{celsius:g}{NO_BREAK}°C"

    def difference(self, kelvins: float | None) -> str:
        """Return a difference of temperatures in kelvins or degrees Fahrenheit."""
        if kelvins is None:
            return _("unknown")
        if self.units == "us":
            return f"{grouped(kelvins * 9 / 5)}{NO_BREAK}°F"
        return f"{kelvins:g}{NO_BREAK}K"

    def power(self, watts: float | None) -> str:
        """Return a power in watts or horsepower."""
        if watts is None:
            return _("unknown")
        if self.units == "us":
            return f"{significant(watts / 745.6998715822702)}{NO_BREAK}hp"
        return f"{grouped(watts)}{NO_BREAK}W"

    def percent(self, share: float | None, decimals: int = 1) -> str:
        """Return a share of one in per cent."""
        return _("unknown") if share is None else f"{grouped(share * 100, decimals)}{NO_BREAK}%"

    def ratio(self, number: float | None) -> str:
        """Return a number without unit."""
        return _("unknown") if number is None else significant(number)
