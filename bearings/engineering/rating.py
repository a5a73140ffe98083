"""Equivalent loads, static safety, basic and modified rating life, life of a system."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from math import cos, radians

from bearings.engineering.quantities import ROLLER_TYPES, Bearing
from bearings.engineering.tables.equivalent_load import (
    ANGULAR,
    ANGULAR_15,
    ANGULAR_15_X,
    DEEP_GROOVE,
    DEEP_GROOVE_X,
    F0_WHEN_UNKNOWN,
    STATIC_F0,
    STATIC_Y0,
)

Factors = tuple[float, float, float]


def pitch_diameter_mm(bearing: Bearing) -> float | None:
    """Return the pitch diameter, by default the mean of bore and outside diameter. [mm]"""
    if bearing.pitch_diameter_mm is not None:
        return bearing.pitch_diameter_mm
    if bearing.bore_mm is None or bearing.outside_diameter_mm is None:
        return None
    return 0.5 * (bearing.bore_mm + bearing.outside_diameter_mm)


def _interpolate(rows: Sequence[tuple[float, ...]], at: float) -> tuple[float, ...]:
    """Return the row at ``at``, straight between rows; outside the table the end row."""
    if at <= rows[0][0]:
        return rows[0][1:]
    if at >= rows[-1][0]:
        return rows[-1][1:]
    index = bisect_right([row[0] for row in rows], at)
    before, after = rows[index - 1], rows[index]
    share = (at - before[0]) / (after[0] - before[0])
    return tuple(a + share * (b - a) for a, b in zip(before[1:], after[1:], strict=True))


def static_f0(bearing: Bearing) -> float:
    """Return f0 of ISO 76 from the balls when they are known, else the textbook's 12.3. [-]"""
    dm = pitch_diameter_mm(bearing)
    if bearing.ball_diameter_mm is None or dm is None:
        return F0_WHEN_UNKNOWN
    gamma = bearing.ball_diameter_mm * cos(radians(bearing.contact_angle_deg or 0.0)) / dm
    at = min(max(gamma, 0.0), 0.40) * 100
    low = min(int(at), 39)
    return STATIC_F0[low] + (at - low) * (STATIC_F0[low + 1] - STATIC_F0[low])


def _relative_axial_load(bearing: Bearing, axial_n: float) -> float | None:
    if bearing.static_rating_n is None:
        return None
    return static_f0(bearing) * axial_n / bearing.static_rating_n


def axial_factors(bearing: Bearing, axial_n: float) -> Factors | None:
    """Return e, X and Y of one row under its axial load, or None when what they need is unknown.

    Parameters
    ----------
    bearing : Bearing
        A ball bearing.
    axial_n : float
        Its own axial load. [N]

    Source: ISO 281:2007 Table 3; straight lines between its angles and rows.
    """
    if bearing.type == "deep_groove_ball":
        relative = _relative_axial_load(bearing, axial_n)
        if relative is None:
            return None
        e, y = _interpolate(DEEP_GROOVE, relative)
        return e, DEEP_GROOVE_X, y
    angle = bearing.contact_angle_deg
    if angle is None:
        return None
    if angle >= 20:
        low = min(int(angle // 5) * 5, 40)
        return _between(ANGULAR[float(low)], ANGULAR[float(low + 5)], (angle - low) / 5)
    relative = _relative_axial_load(bearing, axial_n)
    if relative is None:
        return None
    e, y = _interpolate(ANGULAR_15, relative)
    return _between((e, ANGULAR_15_X, y), ANGULAR[20.0], (angle - 15) / 5)


def _between(first: Factors, second: Factors, share: float) -> Factors:
    if share == 0:
        return first
    return (
        first[0] + share * (second[0] - first[0]),
        first[1] + share * (second[1] - first[1]),
        first[2] + share * (second[2] - first[2]),
    )


def equivalent_load_n(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return the dynamic equivalent load of one bearing, or None when its factors are unknown. [N]

    Parameters
    ----------
    bearing : Bearing
        The bearing.
    axial_n : float
        Its own axial load. [N]
    radial_n : float
        Its own radial load. [N]

    Source: ISO 281:2007 Table 3; spherical roller thrust bearings P = Fa + 1.2 Fr, handbook value.
    """
    if bearing.type == "spherical_roller_thrust":
        return axial_n + 1.2 * radial_n
    if bearing.type == "cylindrical_roller":
        return radial_n
    factors = axial_factors(bearing, axial_n)
    if factors is None:
        return None
    e, x, y = factors
    if radial_n > 0 and axial_n / radial_n <= e:
        return radial_n
    return x * radial_n + y * axial_n


def equivalent_static_load_n(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return the static equivalent load of one bearing, or None when the angle is unknown (ISO 76). [N]"""
    if bearing.type == "spherical_roller_thrust":
        return axial_n + 2.7 * radial_n
    if bearing.type == "cylindrical_roller":
        return radial_n
    if bearing.type == "deep_groove_ball":
        return max(radial_n, 0.6 * radial_n + 0.5 * axial_n)
    if bearing.contact_angle_deg is None:
        return None
    (y0,) = _interpolate(STATIC_Y0, bearing.contact_angle_deg)
    return max(radial_n, 0.5 * radial_n + y0 * axial_n)


def is_roller(bearing: Bearing) -> bool:
    """Whether the bearing's rolling elements are rollers."""
    return bearing.type in ROLLER_TYPES


def basic_life_h(dynamic_rating_n: float, load_n: float, speed_rpm: float, *, roller: bool) -> float:
    """Return the basic rating life L10h (ISO 281:2007). [h]

    Parameters
    ----------
    dynamic_rating_n : float
        Basic dynamic load rating. [N]
    load_n : float
        Dynamic equivalent load. [N]
    speed_rpm : float
        Speed. [r/min]
    roller : bool
        Whether rollers carry the load (exponent 10/3 instead of 3). [-]

    >>> round(basic_life_h(31_000, 5_800, 250, roller=False))
    10179
    """
    return float((dynamic_rating_n / load_n) ** (10 / 3 if roller else 3) * 1e6 / (60 * speed_rpm))


def fatigue_limit_n(bearing: Bearing) -> float | None:
    """Return the fatigue load limit: the maker's, else the simplified estimate (ISO 281:2007 B.18 to B.21). [N]"""
    if bearing.fatigue_load_limit_n is not None:
        return bearing.fatigue_load_limit_n
    dm = pitch_diameter_mm(bearing)
    if bearing.static_rating_n is None or dm is None:
        return None
    divisor, exponent = (8.2, 0.3) if is_roller(bearing) else (22.0, 0.5)
    return float(bearing.static_rating_n / divisor * (100 / max(dm, 100.0)) ** exponent)


def life_factor(bearing_type: str, kappa: float, load_ratio: float) -> float:
    """Return a_ISO for a bearing type (ISO 281:2007 equations 31 to 42). [-]

    Parameters
    ----------
    bearing_type : str
        A type of the stack file.
    kappa : float
        Viscosity ratio, at least 0.1; above 4 counts as 4. [-]
    load_ratio : float
        Contamination factor times fatigue load limit over equivalent load; above 5 counts as 5. [-]
    """
    if kappa < 0.1:
        raise ValueError(f"kappa: {kappa} is below 0.1, outside the method")
    kappa, x = min(kappa, 4.0), min(load_ratio, 5.0)
    if x <= 0:
        return 0.1
    if bearing_type in ROLLER_TYPES:
        if bearing_type == "spherical_roller_thrust":
            x /= 2.5
        b, q = (1.3993, 0.054381) if kappa < 0.4 else (1.2348, 0.19087 if kappa < 1 else 0.071739)
        bracket, exponent = 1 - (1.5859 - b / kappa**q) * x**0.4, -9.185
    else:
        a, q = (2.2649, 0.054381) if kappa < 0.4 else (1.9987, 0.19087 if kappa < 1 else 0.071739)
        bracket, exponent = 1 - max(2.5671 - a / kappa**q, 0.0) ** 0.83 * x ** (1 / 3), -9.3
    if bracket <= 0:
        return 50.0
    return float(min(50.0, 0.1 * bracket**exponent))


def system_life_h(lives: Iterable[float], *, all_roller: bool) -> float:
    """Return the life of bearings that must all survive (series system, exponent 10/9, rollers 9/8). [h]

    >>> round(system_life_h([40_000, 100_000], all_roller=False))
    30305
    """
    e = 9 / 8 if all_roller else 10 / 9
    return float(sum(life**-e for life in lives) ** (-1 / e))
