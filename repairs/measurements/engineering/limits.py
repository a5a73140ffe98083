"""A limit, where it comes from, how sure that is, and whose word counts where several have one."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor, log10
from typing import Final, Literal, NamedTuple

# How sure a value is: read in the standard or an exact consequence of it; read in a copy or a secondary table; what
# shops usually do, without a source; attributed to the standard from memory, unverified; entered by a person.
Sureness = Literal["standard", "secondary", "common practice", "memory", "entered"]
Level = Literal["customer", "maker", "standard", "shop"]
# Whose word counts first.
PRECEDENCE: Final[tuple[Level, ...]] = ("customer", "maker", "standard", "shop")
DIGITS_COMPARED: Final = 9


class Source(NamedTuple):
    """Where a value comes from: "IEEE 43", "2013", "table 3". Common practice has no standard to name."""

    standard: str
    edition: str = ""
    clause: str = ""
    sureness: Sureness = "standard"


COMMON_PRACTICE: Final = Source("", sureness="common practice")
ARITHMETIC: Final = Source("arithmetic")
ENTERED: Final = Source("entered", sureness="entered")


class Limit(NamedTuple):
    """Lowest and highest accepted value, in the canonical unit of its quantity; None where that side is open."""

    low: float | None
    high: float | None
    source: Source
    level: Level = "standard"

    def holds(self, value: float) -> bool:
        """Whether a value lies inside. Both sides are compared to nine digits: a value typed at the limit in another
        unit passes, whatever its conversion leaves behind."""
        if self.low is not None and to_digits(value) < to_digits(self.low):
            return False
        return self.high is None or to_digits(value) <= to_digits(self.high)


def to_digits(number: float, digits: int = DIGITS_COMPARED) -> float:
    """Return a number to so many digits, as many as limits are compared to where nothing else is said."""
    if number == 0:
        return 0.0
    return round(number, digits - 1 - floor(log10(abs(number))))


def counting(limits: Iterable[Limit]) -> Limit | None:
    """Return the limit whose word counts: customer, maker, standard, shop, the first given of one level."""
    return min(limits, key=lambda one: PRECEDENCE.index(one.level), default=None)
