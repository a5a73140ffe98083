"""Equivalent loads and lives of single bearings and of a stack (ISO 281, ISO 76)."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from math import cos, log, radians, tan
from typing import Final

from bearings.engineering.quantities import ROLLER_TYPES, Bearing
from bearings.engineering.tables import equivalent_load as table
from bearings.engineering.tables import life_factors as life
from bearings.engineering.tables.interpolation import between_rows
from bearings.engineering.tables.ratings import F0_BALL, GAMMA_MAXIMUM

Factors = tuple[float, float, float]
# Less is no load that anything puts on a bearing; a life by it would be beyond every number.
LEAST_LOAD_N: Final = 1e-6


def static_factor_f0(bearing: Bearing) -> float:
    """Return the f0 of the relative axial load: from the balls, else the one that tables of Fa/C0 imply."""
    pitch = bearing.pitch_mm
    if bearing.ball_diameter_mm is None or pitch is None:
        return table.TEXTBOOK_F0
    angle = bearing.contact_angle_deg if bearing.type == "angular_contact_ball" else 0.0
    gamma = bearing.ball_diameter_mm * cos(radians(angle or 0.0)) / pitch
    if gamma > GAMMA_MAXIMUM:
        return table.TEXTBOOK_F0
    row = min(int(gamma * 100), len(F0_BALL) - 2)
    return F0_BALL[row] + (gamma * 100 - row) * (F0_BALL[row + 1] - F0_BALL[row])


def _fifteen_degree_factors(relative: float) -> Factors:
    rows = table.FIFTEEN_RELATIVE_LOADS
    return (
        table.FIFTEEN_X,
        between_rows(rows, table.FIFTEEN_Y, relative),
        between_rows(rows, table.FIFTEEN_E, relative),
    )


@lru_cache(maxsize=256)
def _factors_of_angle(angle_deg: float) -> Factors:
    """Return X, Y, e from 20 degrees, where they hang on nothing else: a check asks for those of few angles often."""
    angles = table.CONTACT_ANGLES_DEG
    return (
        between_rows(angles, table.ANGULAR_X, angle_deg),
        between_rows(angles, table.ANGULAR_Y, angle_deg),
        between_rows(angles, table.ANGULAR_E, angle_deg),
    )


@lru_cache(maxsize=256)
def _static_factor_of_angle(angle_deg: float) -> float:
    return between_rows(table.STATIC_ANGLES_DEG, table.ANGULAR_Y0, angle_deg)


def angular_contact_factors(angle_deg: float, relative: float | None) -> Factors | None:
    """Return X, Y, e of a single-row angular contact bearing; below 20 degrees they need f0 Fa / C0."""
    if angle_deg >= 20:
        return _factors_of_angle(angle_deg)
    if relative is None:
        return None
    x, y, e = _fifteen_degree_factors(relative)
    share = (angle_deg - 15) / 5
    return (
        x + share * (table.ANGULAR_X[0] - x),
        y + share * (table.ANGULAR_Y[0] - y),
        e + share * (table.ANGULAR_E[0] - e),
    )


def deep_groove_factors(relative: float) -> Factors:
    """Return X, Y, e of a deep groove bearing at f0 Fa / C0."""
    rows = table.GROOVE_RELATIVE_LOADS
    return (
        table.GROOVE_X,
        between_rows(rows, table.GROOVE_Y, relative),
        between_rows(rows, table.GROOVE_E, relative),
    )


def dynamic_factors(bearing: Bearing, axial_n: float) -> Factors | None:
    """Return X, Y, e of a ball bearing under this axial load; None when an input is unknown."""
    angle = bearing.contact_angle_deg if bearing.type == "angular_contact_ball" else None
    if angle is not None and angle >= 20:
        return _factors_of_angle(angle)
    relative: float | None = None
    if bearing.static_rating_n is not None:
        relative = static_factor_f0(bearing) * axial_n / bearing.static_rating_n
    if angle is not None:
        return angular_contact_factors(angle, relative)
    if bearing.type == "deep_groove_ball" and relative is not None:
        return deep_groove_factors(relative)
    return None


def equivalent_load(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return P of one bearing from its own loads; None when an input is unknown or the type has no rule."""
    if bearing.type == "spherical_roller_thrust":
        return axial_n + table.SPHERICAL_THRUST_X * radial_n
    factors = dynamic_factors(bearing, axial_n)
    if factors is None:
        return None
    x, y, e = factors
    if radial_n > 0 and axial_n <= e * radial_n:
        return radial_n
    return x * radial_n + y * axial_n


def equivalent_static_load(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return P0 of one bearing; None when an input is unknown or the type has no rule."""
    if bearing.type == "spherical_roller_thrust":
        return axial_n + table.SPHERICAL_THRUST_X0 * radial_n
    if bearing.type == "deep_groove_ball":
        return max(radial_n, table.GROOVE_X0 * radial_n + table.GROOVE_Y0 * axial_n)
    if bearing.type == "angular_contact_ball" and bearing.contact_angle_deg is not None:
        y0 = _static_factor_of_angle(bearing.contact_angle_deg)
        return max(radial_n, table.ANGULAR_X0 * radial_n + y0 * axial_n)
    return None


def basic_life_h(bearing: Bearing, equivalent_n: float, speed_rpm: float) -> float | None:
    """Return L10h in hours; None when the dynamic rating is unknown."""
    if bearing.dynamic_rating_n is None:
        return None
    roller = bearing.type in ROLLER_TYPES
    exponent = life.LIFE_EXPONENT_ROLLER if roller else life.LIFE_EXPONENT_BALL
    revolutions: float = (bearing.dynamic_rating_n / max(equivalent_n, LEAST_LOAD_N)) ** exponent
    return revolutions * 1e6 / (60 * speed_rpm)


def fatigue_load_limit(bearing: Bearing) -> float | None:
    """Return Cu: the maker's value, else the simplified estimate from the static rating."""
    if bearing.fatigue_load_limit_n is not None:
        return bearing.fatigue_load_limit_n
    return estimated_fatigue_load_limit(bearing)


def estimated_fatigue_load_limit(bearing: Bearing) -> float | None:
    """Return Cu in N from the static rating: C0 / 22 (ball), C0 / 8.2 (roller), less above dm 100 mm."""
    pitch = bearing.pitch_mm
    if bearing.static_rating_n is None or pitch is None:
        return None
    divisor, power = life.FATIGUE_ROLLER if bearing.type in ROLLER_TYPES else life.FATIGUE_BALL
    size = (100 / pitch) ** power if pitch > 100 else 1.0
    return bearing.static_rating_n / divisor * size


def life_modification(*, roller: bool, thrust: bool, kappa: float, relative: float) -> float | None:
    """Return aISO for kappa and eC Cu / P; None below kappa 0.1, where the method ends (ISO 281:2007)."""
    if kappa < life.KAPPA_MINIMUM:
        return None
    kappa = min(kappa, life.KAPPA_MAXIMUM)
    _, ball_a, roller_b, power = next(
        (row for row in life.KAPPA_ROWS if kappa < row[0]),
        life.KAPPA_ROWS[-1],
    )
    x = min(relative, life.RELATIVE_LIMIT_MAXIMUM)
    if roller:
        x = x / life.THRUST_ROLLER_DIVISOR if thrust else x
        bracket = 1 - (1.5859 - roller_b / kappa**power) * x**0.4
        outer = -9.185
    else:
        x = x / 3 if thrust else x
        bracket = 1 - max(0.0, 2.5671 - ball_a / kappa**power) ** 0.83 * x ** (1 / 3)
        outer = -9.3
    if bracket < 0.5:  # 0.1 x 0.5^-9.185 is above 50 already
        return life.A_ISO_MAXIMUM
    return min(float(0.1 * bracket**outer), life.A_ISO_MAXIMUM)


def bearing_life_modification(
    bearing: Bearing, equivalent_n: float, kappa: float, contamination: float
) -> float | None:
    """Return aISO of one bearing of a stack; angular contact bearings up to 45 degrees count as radial."""
    limit = fatigue_load_limit(bearing)
    if limit is None:
        return None
    return life_modification(
        roller=bearing.type in ROLLER_TYPES,
        thrust=bearing.type == "spherical_roller_thrust",
        kappa=kappa,
        relative=contamination * limit / equivalent_n,
    )


def reliability_factor(reliability_percent: float) -> float:
    """Return a1, what is left of a life when more than 90 of 100 bearings are to reach it (ISO 281:2007, 9.2)."""
    if not 90 <= reliability_percent <= 99.95:
        raise ValueError(f"reliability_percent {reliability_percent:g} is outside 90 to 99.95")
    missing = log(100 / reliability_percent) / log(100 / 90)
    return life.RELIABILITY_SHARE * float(missing ** (2 / 3)) + life.RELIABILITY_REST


def system_life(lives: Iterable[float], *, all_rollers: bool) -> float:
    """Return the life of bearings that must all survive, as a series system (ISO/TR 1281-1)."""
    exponent = life.SYSTEM_EXPONENT_ROLLER if all_rollers else life.SYSTEM_EXPONENT
    lives = tuple(lives)
    shortest = min(lives)
    total: float = sum((shortest / one) ** exponent for one in lives)
    return shortest / float(total ** (1 / exponent))


def cotangent(angle_deg: float) -> float:
    """Return the cotangent of a contact angle in degrees."""
    return 1 / tan(radians(angle_deg))
