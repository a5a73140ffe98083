"""Fits: limits of a zone, fit range, verdict on a measured seat, temperature to mount.

All lengths are exact decimal numbers, so that a reading equal to a limit is in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

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

SeatKind = Literal["shaft", "housing"]
SeatVerdict = Literal["ok", "below", "above", "out_of_round", "taper", "not_checked"]
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
    """Whether a zone is a hole's: its letter is a capital."""
    return zone[:1].isupper()


def known_zones() -> tuple[str, ...]:
    """Return the zones that the tables hold."""
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
    """Return the width of a standard tolerance grade at a nominal size (ISO 286-1). [µm]"""
    if grade not in GRADES:
        raise FitError("grade", f"{grade!r} is not tabulated; accepted: {', '.join(GRADES)}")
    return _numbers(GRADES[grade])[_step(_numbers(STEPS), nominal_mm, _FIRST_OVER_MM, grade)]


def bearing_limits(
    surface: Literal["bore", "od"], nominal_mm: Decimal, *, tolerance_class: str = "Normal"
) -> Limits:
    """Return the limit deviations of a radial bearing's bore or outside diameter (ISO 492). [µm]"""
    if (tolerance_class, surface) not in BEARINGS:
        known = ", ".join(sorted({name for name, _ in BEARINGS}))
        raise FitError("tolerance_class", f"{tolerance_class!r} is not tabulated; accepted: {known}")
    rows = _groups(BEARINGS[tolerance_class, surface])
    over = Decimal(BEARINGS_OVER[surface])
    index = _step([row[0] for row in rows], nominal_mm, over, f"class {tolerance_class} {surface}")
    return Limits(lower_um=rows[index][1], upper_um=Decimal(0))


def washer_limits(surface: Literal["bore", "od"], nominal_mm: Decimal) -> Limits:
    """Return the limit deviations of a thrust washer, classes Normal to P5 (ISO 199). [µm]"""
    rows = _groups(WASHERS[surface])
    index = _step([row[0] for row in rows], nominal_mm, Decimal(WASHERS_OVER), f"thrust washer {surface}")
    return Limits(lower_um=rows[index][1], upper_um=Decimal(0))


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
    """
    return FitRange(
        tightest_um=inner.upper_um - outer.lower_um,
        loosest_um=inner.lower_um - outer.upper_um,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatResult:
    """What the readings of a seat say. Form errors are differences of diameters. [mm]"""

    verdict: SeatVerdict
    smallest_mm: Decimal | None
    largest_mm: Decimal | None
    mean_mm: Decimal | None
    out_of_round_mm: Decimal | None
    taper_mm: Decimal | None


def judge_seat(planes: Sequence[Sequence[Decimal]], low_mm: Decimal, high_mm: Decimal) -> SeatResult:
    """Judge a seat from its readings, plane by plane.

    Parameters
    ----------
    planes : sequence of sequences of Decimal
        Readings at two angles or more in three planes or more. [mm]
    low_mm : Decimal
        Smallest accepted size. [mm]
    high_mm : Decimal
        Largest accepted size. [mm]

    Every reading must lie in the zone; then out-of-round (in a plane) and taper (between plane means) may be half the
    zone at most. Source: common practice, no source. Fewer planes or angles are "not checked".
    """
    readings = [reading for plane in planes for reading in plane]
    if not readings:
        return SeatResult(
            verdict="not_checked",
            smallest_mm=None,
            largest_mm=None,
            mean_mm=None,
            out_of_round_mm=None,
            taper_mm=None,
        )
    means = [sum(plane, Decimal(0)) / len(plane) for plane in planes if plane]
    out_of_round = max(max(plane) - min(plane) for plane in planes if plane)
    taper = max(means) - min(means)
    allowed = (high_mm - low_mm) / 2
    complete = len(planes) >= 3 and all(len(plane) >= 2 for plane in planes)
    verdict: SeatVerdict = "ok" if complete else "not_checked"
    if min(readings) < low_mm:
        verdict = "below"
    elif max(readings) > high_mm:
        verdict = "above"
    elif out_of_round > allowed:
        verdict = "out_of_round"
    elif taper > allowed:
        verdict = "taper"
    return SeatResult(
        verdict=verdict,
        smallest_mm=min(readings),
        largest_mm=max(readings),
        mean_mm=sum(readings, Decimal(0)) / len(readings),
        out_of_round_mm=out_of_round,
        taper_mm=taper,
    )


def mounting_temperature_c(bore_mm: float, interference_um: float, ambient_c: float = 20.0) -> float:
    """Return the temperature at which a ring slides on, with 50 µm to spare. [°C]

    Parameters
    ----------
    bore_mm : float
        Bore. [mm]
    interference_um : float
        Greatest interference. [µm]
    ambient_c : float
        Temperature of the shaft. [°C]

    Expansion 12e-6 per kelvin and the 50 µm are common practice, no source. Heat to 110 °C at most unless the maker
    allows more; the caller compares.

    >>> round(mounting_temperature_c(120, 48), 1)
    88.1
    """
    if bore_mm <= 0:
        raise FitError("bore_mm", f"{bore_mm}; a size above 0 mm is accepted")
    return ambient_c + (max(interference_um, 0.0) + 50.0) / 1000 / (12e-6 * bore_mm)


# Up to and including this bore the zone holds; the last one has no end. Shaft turning, normal load.
_SHAFT_ZONES: dict[str, tuple[tuple[int | None, str], ...]] = {
    "angular_contact_ball": ((18, "j5"), (None, "k5")),
    "deep_groove_ball": ((18, "j5"), (None, "k5")),
    "cylindrical_roller": ((40, "k5"), (100, "m5"), (140, "m6"), (320, "n6"), (None, "p6")),
    "spherical_roller_thrust": ((200, "k6"), (400, "m6"), (None, "n6")),
}


def proposed_zone(bearing_type: str, surface: Literal["bore", "od"], size_mm: float) -> str | None:
    """Return the zone that the common rule gives a seat, where no drawing says another; None where it gives none.

    Parameters
    ----------
    bearing_type : str
        A type of the stack file. [-]
    surface : str
        ``bore`` for the shaft's or mount's seat, ``od`` for the housing's. [-]
    size_mm : float
        Nominal size. [mm]

    Source: a public handbook table, from memory, unverified; a drawing always comes first.
    The housing of a spherical roller thrust bearing must not touch it radially, so it has no zone.

    >>> proposed_zone("angular_contact_ball", "bore", 100), proposed_zone("angular_contact_ball", "od", 215)
    ('k5', 'H6')
    """
    if surface == "od":
        return None if bearing_type == "spherical_roller_thrust" else "H6"
    for end, zone in _SHAFT_ZONES[bearing_type]:
        if end is None or size_mm <= end:
            return zone
    return None
