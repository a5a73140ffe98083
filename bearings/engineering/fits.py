"""Fits: limits of a zone, of a bearing ring and of a thrust washer, and the range of a fit.

All lengths are exact decimal numbers, so that a size equal to a limit is in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Final, Literal

from bearings.engineering.tables.limits import (
    BEARINGS,
    BEARINGS_OVER,
    GRADES,
    R6,
    R6_STEPS,
    STEPS,
    WASHERS,
    WASHERS_OVER,
    ZONES,
)

Surface = Literal["bore", "od"]
TOLERANCE_CLASSES: Final = ("Normal", "P6", "P5")
THRUST_TYPES: Final = frozenset({"spherical_roller_thrust"})
_FIRST_OVER_MM = Decimal(6)


class FitError(ValueError):
    """A fit that the tables do not hold: ``field`` names the input, the message what is accepted."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Lower and upper deviation from a nominal size. [µm]"""

    lower_um: Decimal
    upper_um: Decimal

    def sizes_mm(self, nominal_mm: Decimal) -> tuple[Decimal, Decimal]:
        """Return the smallest and largest size. [mm]"""
        return nominal_mm + self.lower_um / 1000, nominal_mm + self.upper_um / 1000


def is_hole(zone: str) -> bool:
    """Return whether a zone is a hole's: its letter is a capital. Source: ISO 286-1.

    >>> is_hole("H6"), is_hole("k5")
    (True, False)
    """
    return zone[:1].isupper()


def known_zones() -> tuple[str, ...]:
    """Return the zones that the tables hold.

    >>> {"k5", "H6", "r6"} <= set(known_zones())
    True
    """
    return (*ZONES, "r6")


def _step(ends: Sequence[Decimal], nominal_mm: Decimal, over_mm: Decimal, what: str) -> int:
    if nominal_mm > over_mm:
        for index, end in enumerate(ends):
            if nominal_mm <= end:
                return index
    raise FitError("nominal_mm", f"{nominal_mm} mm; {what} is tabulated above {over_mm} up to {ends[-1]} mm")


@lru_cache(maxsize=64)
def _numbers(text: str) -> tuple[Decimal, ...]:
    return tuple(Decimal(number) for number in text.split())


@lru_cache(maxsize=64)
def _groups(text: str) -> tuple[tuple[Decimal, ...], ...]:
    return tuple(tuple(Decimal(number) for number in group.split("/")) for group in text.split())


def zone_limits(zone: str, nominal_mm: Decimal) -> Limits:
    """Return the limit deviations of a zone at a nominal size (ISO 286-2). [µm]

    Parameters
    ----------
    zone : str
        Tolerance class, such as ``k5`` or ``H6``. [-]
    nominal_mm : Decimal
        Nominal size, above 6 up to 500. [mm]

    Raises FitError for a zone or size that the tables do not hold.

    >>> zone_limits("k5", Decimal(100))
    Limits(lower_um=Decimal('3'), upper_um=Decimal('18'))
    """
    if zone == "r6":
        steps, rows = _numbers(R6_STEPS), _groups(R6)
    elif zone in ZONES:
        steps, rows = _numbers(STEPS), _groups(ZONES[zone])
    else:
        raise FitError("zone", f"{zone!r} is not tabulated; accepted: {', '.join(known_zones())}")
    lower, upper = rows[_step(steps, nominal_mm, _FIRST_OVER_MM, f"zone {zone}")]
    return Limits(lower_um=lower, upper_um=upper)


def grade_um(grade: str, nominal_mm: Decimal) -> Decimal:
    """Return the width of a standard tolerance grade at a nominal size (ISO 286-1). [µm]

    ``grade`` such as ``IT5``, ``nominal_mm`` above 6 up to 500. Raises FitError for what the tables do not hold.

    >>> grade_um("IT5", Decimal(100))
    Decimal('15')
    """
    if grade not in GRADES:
        raise FitError("grade", f"{grade!r} is not tabulated; accepted: {', '.join(GRADES)}")
    return _numbers(GRADES[grade])[_step(_numbers(STEPS), nominal_mm, _FIRST_OVER_MM, grade)]


def bearing_limits(surface: Surface, nominal_mm: Decimal, *, tolerance_class: str = "Normal") -> Limits:
    """Return the limit deviations of a radial bearing's bore or outside diameter (ISO 492). [µm]

    ``tolerance_class`` is ``Normal``, ``P6`` or ``P5``. Raises FitError for what the tables do not hold.

    >>> bearing_limits("bore", Decimal(100))
    Limits(lower_um=Decimal('-20'), upper_um=Decimal('0'))
    """
    if (tolerance_class, surface) not in BEARINGS:
        known = ", ".join(sorted({name for name, _ in BEARINGS}))
        raise FitError("tolerance_class", f"{tolerance_class!r} is not tabulated; accepted: {known}")
    rows = _groups(BEARINGS[tolerance_class, surface])
    over = Decimal(BEARINGS_OVER[surface])
    index = _step([row[0] for row in rows], nominal_mm, over, f"class {tolerance_class} {surface}")
    return Limits(lower_um=rows[index][1], upper_um=Decimal(0))


def washer_limits(surface: Surface, nominal_mm: Decimal) -> Limits:
    """Return the limit deviations of a thrust washer, classes Normal to P5 (ISO 199). [µm]

    Raises FitError for a size that the table does not hold.

    >>> washer_limits("bore", Decimal(140)).upper_um
    Decimal('0')
    """
    rows = _groups(WASHERS[surface])
    index = _step([row[0] for row in rows], nominal_mm, Decimal(WASHERS_OVER), f"thrust washer {surface}")
    return Limits(lower_um=rows[index][1], upper_um=Decimal(0))


def ring_limits(bearing_type: str, surface: Surface, nominal_mm: Decimal, *, tolerance_class: str) -> Limits:
    """Return the limit deviations of a bearing's ring or washer: ISO 199 for thrust bearings, else ISO 492. [µm]

    Parameters
    ----------
    bearing_type : str
        A type of the stack file; thrust bearings have washers. [-]
    surface : str
        ``bore`` of the ring on the shaft or mount, ``od`` of the one in the housing. [-]
    nominal_mm : Decimal
        Nominal size. [mm]
    tolerance_class : str
        ``Normal``, ``P6`` or ``P5``; of washers the three are alike. [-]

    >>> ring_limits("angular_contact_ball", "bore", Decimal(100), tolerance_class="Normal").lower_um
    Decimal('-20')
    """
    if bearing_type not in THRUST_TYPES:
        return bearing_limits(surface, nominal_mm, tolerance_class=tolerance_class)
    if tolerance_class not in TOLERANCE_CLASSES:
        known = ", ".join(TOLERANCE_CLASSES)
        raise FitError("tolerance_class", f"{tolerance_class!r} is not tabulated; accepted: {known}")
    return washer_limits(surface, nominal_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRange:
    """Tightest and loosest fit: positive is interference, negative clearance. [µm]"""

    tightest_um: Decimal
    loosest_um: Decimal


def fit_range(outer: Limits, inner: Limits) -> FitRange:
    """Return the range of a fit from the limits of the hole and of the part inside it. [µm]

    Parameters
    ----------
    outer : Limits
        The hole: a housing seat, or a bearing's bore. [µm]
    inner : Limits
        The part inside: a bearing's outside diameter, or a shaft seat. [µm]

    >>> fit_range(bearing_limits("bore", Decimal(100)), zone_limits("k5", Decimal(100)))
    FitRange(tightest_um=Decimal('38'), loosest_um=Decimal('3'))
    """
    return FitRange(
        tightest_um=inner.upper_um - outer.lower_um,
        loosest_um=inner.lower_um - outer.upper_um,
    )
