"""Figures of shop tests in the reader's units, by the one formatter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from bearings.public import Units, plain
from repairs.motors.units import Unit, preferred_unit, with_unit

# How many digits people read of a quantity; the stored figure keeps all.
DIGITS: Final[Mapping[str, int]] = {
    "ratio": 3,
    "percent": 3,
    "insulation": 4,
    "vibration": 3,
    "temperature": 4,
    "temperature_difference": 3,
    "small_length": 4,
    "volume": 4,
    "unbalance": 4,
    "small_mass": 4,
    "torque": 4,
    "displacement": 3,
}
USUAL_DIGITS: Final = 5


@dataclass(frozen=True, slots=True)
class Written:
    """Writes a figure in one system of units."""

    units: Units

    def unit(self, quantity: str) -> Unit:
        """Return the unit in which a quantity is read."""
        return preferred_unit(quantity, self.units)

    def number(self, value: float, quantity: str) -> str:
        """Return a figure without its unit."""
        return plain(self.unit(quantity).from_si(value), DIGITS.get(quantity, USUAL_DIGITS))

    def of(self, value: float | str | None, quantity: str) -> str:
        """Return a figure with its unit; a dash for none."""
        if not isinstance(value, int | float):
            return "–"
        return with_unit(self.number(value, quantity), self.unit(quantity).name, self.units)

    def plain(self, value: float) -> str:
        """Return a figure of a working in its own unit."""
        return plain(value, USUAL_DIGITS)
