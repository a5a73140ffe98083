"""Figures of shop tests in the reader's units, by the one formatter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from bearings.public import Units, plain
from repairs.measurements.engineering.limits import DIGITS_COMPARED, to_digits
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
# As many as limits are compared to.
MOST_DIGITS: Final = DIGITS_COMPARED


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

    def beside(self, value: float | None, quantity: str, *limits: float | None) -> str:
        """Return a figure with its unit, with as many digits as keep it on its side of its limits."""
        if value is None:
            return self.of(value, quantity)
        unit = self.unit(quantity)
        read, *bounds = (unit.from_si(one) for one in (value, *limits) if one is not None)
        few = DIGITS.get(quantity, USUAL_DIGITS)
        enough = (n for n in range(few, MOST_DIGITS) if all(_same_side(read, bound, n) for bound in bounds))
        return with_unit(plain(read, next(enough, MOST_DIGITS)), unit.name, self.units)

    def plain(self, value: float) -> str:
        """Return a figure of a working in its own unit."""
        return plain(value, USUAL_DIGITS)


def _same_side(value: float, limit: float, digits: int) -> bool:
    """Whether so many digits of a value still lie below, at or above a limit where the value itself does."""
    rounded, exact, bound = to_digits(value, digits), to_digits(value), to_digits(limit)
    return ((rounded > bound) - (rounded < bound)) == ((exact > bound) - (exact < bound))
