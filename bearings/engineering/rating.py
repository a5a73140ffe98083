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
    """Return P = X Fr + Y Fa of one bearing in N; Fr alone where Fa <= e Fr; Fa + 1.2 Fr of a thrust roller.

    ``axial_n`` and ``radial_n`` are its own loads in N, zero or more. None when an input is unknown or the type has no
    rule. Source: ISO 281:2007, 7 and Table 3 (thrust rollers Table 9).

    >>> one = Bearing(type="angular_contact_ball", wide_face="down", contact_angle_deg=40.0)
    >>> round(equivalent_load(one, 16_100.0, 400.0), 1)  # 0.35 x 400 + 0.57 x 16 100
    9317.0
    """
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
    """Return P0 = max(Fr, X0 Fr + Y0 Fa) of one bearing in N; Fa + 2.7 Fr of a thrust roller.

    ``axial_n`` and ``radial_n`` are its own loads in N, zero or more. None when an input is unknown or the type has no
    rule. Source: ISO 76:2006, Table 2; Y0 at 20, 35 and 45 degrees from memory, and the thrust roller's 2.7 Fr is a
    handbook's for its own bearings (ISO 76 has 2.3 tan alpha, from memory).

    >>> one = Bearing(type="angular_contact_ball", wide_face="down", contact_angle_deg=40.0)
    >>> round(equivalent_static_load(one, 16_100.0, 400.0), 1)  # 0.5 x 400 + 0.26 x 16 100
    4386.0
    """
    if bearing.type == "spherical_roller_thrust":
        return axial_n + table.SPHERICAL_THRUST_X0 * radial_n
    if bearing.type == "deep_groove_ball":
        return max(radial_n, table.GROOVE_X0 * radial_n + table.GROOVE_Y0 * axial_n)
    if bearing.type == "angular_contact_ball" and bearing.contact_angle_deg is not None:
        y0 = _static_factor_of_angle(bearing.contact_angle_deg)
        return max(radial_n, table.ANGULAR_X0 * radial_n + y0 * axial_n)
    return None


def basic_life_h(bearing: Bearing, equivalent_n: float, speed_rpm: float) -> float | None:
    """Return L10h = (C / P)^p 10^6 / (60 n) in hours; p is 3 for balls and 10/3 for rollers.

    ``equivalent_n`` is P in N, ``speed_rpm`` n above 0. None when the dynamic rating C is unknown.
    Source: ISO 281:2007, 6.4 and 9.1.

    >>> one = Bearing(type="angular_contact_ball", wide_face="down", dynamic_rating_n=216_000.0)
    >>> round(basic_life_h(one, 9_317.0, 1_780.0))
    116671
    """
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
    """Return Cu in N from the static rating: C0 / 22 for balls, C0 / 8.2 for rollers.

    Above a pitch diameter dm of 100 mm times (100 / dm)^0.5, of rollers (100 / dm)^0.3. None while C0 or dm is unknown.
    Source: ISO 281:2007, B.3.3 (simplified estimate).

    >>> sizes = {"bore_mm": 40.0, "outside_diameter_mm": 80.0}
    >>> small = Bearing(type="angular_contact_ball", wide_face="down", static_rating_n=22_000.0, **sizes)
    >>> round(estimated_fatigue_load_limit(small))
    1000
    """
    pitch = bearing.pitch_mm
    if bearing.static_rating_n is None or pitch is None:
        return None
    divisor, power = life.FATIGUE_ROLLER if bearing.type in ROLLER_TYPES else life.FATIGUE_BALL
    size = (100 / pitch) ** power if pitch > 100 else 1.0
    return bearing.static_rating_n / divisor * size


def life_modification(*, roller: bool, thrust: bool, kappa: float, relative: float) -> float | None:
    """Return a_ISO = 0.1 (1 - (a - b / kappa^c) x^0.83 ...)^-9.3 by type, with x = eC Cu / P (``relative``).

    Balls: 0.1 (1 - (2.5671 - b / kappa^c)^0.83 x^(1/3))^-9.3; rollers: 0.1 (1 - (1.5859 - b / kappa^c) x^0.4)^-9.185;
    b and c stand in three ranges of kappa. Of spherical roller thrust bearings x is divided by 2.5 (from memory). Never
    above 50; kappa above 4 counts as 4; None below kappa 0.1, where the method ends. Source: ISO 281:2007, 9.3.

    >>> round(life_modification(roller=False, thrust=False, kappa=1.0, relative=0.1), 2)
    2.43
    >>> life_modification(roller=False, thrust=False, kappa=0.05, relative=0.1) is None
    True
    """
    if kappa < life.KAPPA_MINIMUM:
        return None
    x, slope = min(relative, life.RELATIVE_LIMIT_MAXIMUM), _film_slope(roller, kappa)
    if roller:
        x = x / life.THRUST_ROLLER_DIVISOR if thrust else x
        bracket = 1 - slope * x**0.4
        outer = -9.185
    else:
        x = x / 3 if thrust else x
        bracket = 1 - slope * x ** (1 / 3)
        outer = -9.3
    if bracket < 0.5:  # 0.1 x 0.5^-9.185 is above 50 already
        return life.A_ISO_MAXIMUM
    return min(float(0.1 * bracket**outer), life.A_ISO_MAXIMUM)


@lru_cache(maxsize=256)
def _film_slope(roller: bool, kappa: float) -> float:
    """Return what the film makes of the bracket of a_ISO: the bearings of a case mostly have the same."""
    kappa = min(kappa, life.KAPPA_MAXIMUM)
    _, ball_a, roller_b, power = next(
        (row for row in life.KAPPA_ROWS if kappa < row[0]),
        life.KAPPA_ROWS[-1],
    )
    if roller:
        return float(1.5859 - roller_b / kappa**power)
    return float(max(0.0, 2.5671 - ball_a / kappa**power) ** 0.83)


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
    """Return a1 = 0.95 (ln(100/S) / ln(100/90))^(2/3) + 0.05, what is left of a life at a higher reliability S.

    ``reliability_percent`` S lies from 90 to 99.95; else ValueError. Source: ISO 281:2007, 9.2, Table 12 (the curve
    through its rows by a wind-turbine guideline).

    >>> round(reliability_factor(90), 2), round(reliability_factor(95), 2), round(reliability_factor(99), 2)
    (1.0, 0.64, 0.25)
    """
    if not 90 <= reliability_percent <= 99.95:
        raise ValueError(f"reliability_percent {reliability_percent:g} is outside 90 to 99.95")
    missing = log(100 / reliability_percent) / log(100 / 90)
    return life.RELIABILITY_SHARE * float(missing ** (2 / 3)) + life.RELIABILITY_REST


def system_life(lives: Iterable[float], *, all_rollers: bool) -> float:
    """Return the life of bearings that must all survive: (sum Li^-e)^(-1/e), e = 10/9, of rollers alone 9/8.

    ``lives`` in hours, each above 0. Source: ISO/TR 1281-1:2008, series system of Weibull slopes.

    >>> round(system_life([100_000.0, 100_000.0], all_rollers=False))
    53589
    """
    exponent = life.SYSTEM_EXPONENT_ROLLER if all_rollers else life.SYSTEM_EXPONENT
    lives = tuple(lives)
    shortest = min(lives)
    total: float = sum((shortest / one) ** exponent for one in lives)
    return shortest / float(total ** (1 / exponent))


def cotangent(angle_deg: float) -> float:
    """Return the cotangent of a contact angle in degrees."""
    return 1 / tan(radians(angle_deg))
