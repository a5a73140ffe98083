"""Levels of high-potential and surge tests."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

NEW_SOURCE: Final = Source("NEMA MG 1", "", "2 E + 1000 V; DC 1.7 times", "secondary")
# Share of 2 E + 1000 V. The rule says share of "the original test voltage", taken here as the one of a new winding.
SHARES: Final[Mapping[str, tuple[float, Source]]] = {
    "new": (1.0, NEW_SOURCE),
    "rewound": (0.80, Source("ANSI/EASA AR100", "2020", "80% right after a rewind", "secondary")),
    "reconditioned": (0.65, Source("ANSI/EASA AR100", "2020", "65% of a new winding", "memory")),
}
IN_SERVICE: Final = (1.25, 1.50)
IN_SERVICE_SOURCE: Final = Source("IEEE 95", "", "125% to 150% of rated voltage; DC 1.7 times", "secondary")
ACCESSORY: Final[Mapping[str, float]] = {"ac": 1500.0, "dc": 2600.0}
ACCESSORY_SOURCE: Final = Source("ANSI/EASA AR100", "2020", "accessory circuits, new", "secondary")
DC_FACTOR: Final = 1.7
LEAST_SECONDS: Final = 60.0
CATEGORIES: Final = (*SHARES, "in_service", "accessory")

# Surge: form coils in per unit of the peak line to ground, by the front of the wave.
PER_UNIT: Final[Mapping[str, float]] = {"ieee_steep": 3.5, "ieee_slow": 5.0}
WAVES: Final = (*PER_UNIT, "iec_steep")
PER_UNIT_SOURCE: Final = Source("IEEE 522", "", "per unit of the peak line to ground", "memory")
IEC_SOURCE: Final = Source("IEC 60034-15", "", "0.65 (4 E + 5 kV) at 0.2 µs", "memory")
SURGE_IN_SERVICE: Final = 0.75
# A surge tester's peak is read this closely.
SURGE_TOLERANCE: Final = 0.03
SURGE_TOLERANCE_SOURCE: Final = Source("IEC 60060-1", "", "peak of an impulse", "memory")
LARGEST_EAR: Final = (10.0, COMMON_PRACTICE)


def new_winding_v(rated_v: float) -> float:
    """Return the AC test voltage of a new winding. [V]"""
    return 2 * rated_v + 1000


def high_potential(category: str, current: str, rated_v: float | None) -> Limit | None:
    """Return lowest and highest voltage of a high-potential test; None while it is not known. [V]"""
    if category == "accessory":
        return Limit(ACCESSORY[current], ACCESSORY[current], ACCESSORY_SOURCE)
    if rated_v is None:
        return None
    factor = DC_FACTOR if current == "dc" else 1.0
    if category == "in_service":
        low, high = (share * rated_v * factor for share in IN_SERVICE)
        return Limit(low, high, IN_SERVICE_SOURCE)
    share, source = SHARES[category]
    level = share * new_winding_v(rated_v) * factor
    return Limit(level, level, source)


def per_unit_v(rated_v: float) -> float:
    """Return one per unit, the peak line to ground. [V]"""
    return sqrt(2 / 3) * rated_v


def surge(winding: str, state: str, wave: str | None, rated_v: float) -> Limit | None:
    """Return the least peak of a surge test; None where no level is known. [V]"""
    new = state == "new"
    if winding == "random":
        return Limit(new_winding_v(rated_v), None, COMMON_PRACTICE) if new else None
    if wave == "iec_steep":
        return Limit(0.65 * (4 * rated_v + 5000), None, IEC_SOURCE) if new else None
    if wave is None:
        return None
    level = PER_UNIT[wave] * per_unit_v(rated_v)
    return Limit(level if new else SURGE_IN_SERVICE * level, None, PER_UNIT_SOURCE)
