"""Ratings computed from a bearing's inside (ISO 281:2007, ISO 76:2006)."""

from __future__ import annotations

from math import cos, radians, sin, tan

from bearings.engineering.hertz import ball_contacts
from bearings.engineering.tables import ratings as table
from bearings.engineering.tables.interpolation import between_rows


def _gamma(ball_mm: float, pitch_mm: float, angle_deg: float) -> float:
    """Return Dw cos(alpha) / Dpw, or refuse what lies outside the tables."""
    gamma = ball_mm * cos(radians(angle_deg)) / pitch_mm
    if not 0.01 <= gamma <= table.GAMMA_MAXIMUM:
        raise ValueError(f"gamma {gamma:.3f} is outside the table, 0.01 to {table.GAMMA_MAXIMUM}")
    return gamma


def dynamic_factor(gamma: float) -> float:
    """Return fc of a single-row radial or angular contact ball bearing at gamma = Dw cos(alpha) / Dpw, 0.01 to 0.40.

    Source: ISO 281:2007, Table 2.

    >>> dynamic_factor(0.2)
    59.9
    """
    rows = [(place + 1) / 100 for place in range(len(table.FC_BALL))]
    return between_rows(rows, table.FC_BALL, gamma)


def ball_dynamic_rating(*, balls: int, ball_mm: float, pitch_mm: float, angle_deg: float) -> float:
    """Return C in N of one row of balls with a groove of usual osculation.

    bm fc cos(alpha)^0.7 Z^(2/3) Dw^1.8, above 25.4 mm 3.647 Dw^1.4; lengths in mm, angle in degrees. Raises
    ValueError outside the table. Source: ISO 281:2007, Tables 1 and 2.

    >>> round(ball_dynamic_rating(balls=9, ball_mm=7.94, pitch_mm=39.04, angle_deg=0.0))
    14027
    """
    factor = table.BM_BALL * dynamic_factor(_gamma(ball_mm, pitch_mm, angle_deg))
    if ball_mm > table.LARGE_BALL_MM:
        size = table.LARGE_BALL_FACTOR * ball_mm**1.4
    else:
        size = ball_mm**1.8
    return float(factor * cos(radians(angle_deg)) ** 0.7 * balls ** (2 / 3) * size)


def ball_static_rating(*, balls: int, ball_mm: float, pitch_mm: float, angle_deg: float) -> float:
    """Return C0 = f0 Z Dw^2 cos(alpha) in N of one row of balls.

    Lengths in mm, angle in degrees. Raises ValueError outside the table. Source: ISO 76:2006, Table 1.

    >>> round(ball_static_rating(balls=9, ball_mm=7.94, pitch_mm=39.04, angle_deg=0.0))
    7886
    """
    gamma = _gamma(ball_mm, pitch_mm, angle_deg)
    rows = [place / 100 for place in range(len(table.F0_BALL))]
    return between_rows(rows, table.F0_BALL, gamma) * balls * ball_mm**2 * cos(radians(angle_deg))


def ball_fatigue_limit(
    *,
    balls: int,
    ball_mm: float,
    pitch_mm: float,
    angle_deg: float,
    inner_ratio: float = table.GROOVE_RATIO,
    outer_ratio: float = table.GROOVE_RATIO,
) -> float:
    """Return Cu in N of one row of balls: the load at which a contact reaches 1 500 N/mm2.

    Lengths in mm, angle in degrees, ratios are groove radius over ball diameter, above 0.5. Source: ISO 281:2007,
    Annex B.

    >>> round(ball_fatigue_limit(balls=9, ball_mm=7.94, pitch_mm=39.04, angle_deg=0.0))
    410
    """
    gamma = _gamma(ball_mm, pitch_mm, angle_deg)
    contacts = ball_contacts(ball_mm, gamma, inner_ratio, outer_ratio)
    # Pressure grows with the cube root of the load.
    pressure = max(contacts.inner.greatest_pressure(1.0), contacts.outer.greatest_pressure(1.0))
    ball_load = (table.FATIGUE_PRESSURE / pressure) ** 3
    size = (100 / pitch_mm) ** 0.5 if pitch_mm > 100 else 1.0
    return table.FATIGUE_ROW_SHARE * balls * ball_load * cos(radians(angle_deg)) * size


def thrust_roller_factor(ratio: float, angle_deg: float) -> float:
    """Return fc of a thrust roller bearing at Dwe cos(alpha) / Dpw; the closed form gives the table within 0.05.

    ``ratio`` from 0.01, ``angle_deg`` above 45 and below 90 degrees; ValueError outside. Source: ISO 281:2007,
    Tables 9 and 10, in the closed form of ISO/TR 1281-1.

    >>> round(thrust_roller_factor(0.1, 50.0), 1)
    175.5
    """
    if not 0.01 <= ratio <= table.THRUST_ROLLER_RATIO_MAXIMUM:
        raise ValueError(
            f"Dwe cos(alpha)/Dpw {ratio:.3f} is outside the table, 0.01 to {table.THRUST_ROLLER_RATIO_MAXIMUM}"
        )
    column = next(angle for below, angle in table.THRUST_ROLLER_COLUMNS if angle_deg < below)
    rings = 1 + float(((1 - ratio) / (1 + ratio)) ** (143 / 108)) ** 4.5
    shape = float(ratio ** (2 / 9) * (1 - ratio) ** (29 / 27) / (1 + ratio) ** 0.25)
    return table.THRUST_ROLLER_SCALE * (1 - 0.15 * sin(radians(column))) * shape * float(rings ** (-2 / 9))


def thrust_roller_dynamic_rating(
    *, rollers: int, roller_mm: float, length_mm: float, pitch_mm: float, angle_deg: float
) -> float:
    """Return Ca in N of a single-row spherical roller thrust bearing; angles from above 45 to below 90 degrees.

    bm fc (Lwe cos(alpha))^(7/9) tan(alpha) Z^(3/4) Dwe^(29/27), lengths in mm. Source: ISO 281:2007, Tables 9 and
    10 (bm from memory, unverified).

    >>> round(thrust_roller_dynamic_rating(rollers=18, roller_mm=30.0, length_mm=40.0, pitch_mm=210.0, angle_deg=50.0))
    1001145
    """
    if not 45 < angle_deg < 90:
        raise ValueError(f"contact angle {angle_deg:g} is outside the table, above 45 to below 90 degrees")
    angle = radians(angle_deg)
    factor = table.BM_SPHERICAL_ROLLER_THRUST * thrust_roller_factor(
        roller_mm * cos(angle) / pitch_mm, angle_deg
    )
    size = (length_mm * cos(angle)) ** (7 / 9) * tan(angle) * roller_mm ** (29 / 27)
    return float(factor * size * rollers**0.75)


def thrust_roller_static_rating(
    *, rollers: int, roller_mm: float, length_mm: float, pitch_mm: float, angle_deg: float
) -> float:
    """Return C0a = 220 (1 - Dwe cos(alpha) / Dpw) Z Lwe Dwe sin(alpha) in N of a single-row thrust roller bearing.

    Lengths in mm, angle in degrees. Source: ISO 76:2006.

    >>> round(thrust_roller_static_rating(rollers=18, roller_mm=30.0, length_mm=40.0, pitch_mm=210.0, angle_deg=50.0))
    3305971
    """
    angle = radians(angle_deg)
    surface = rollers * length_mm * roller_mm * sin(angle)
    return table.STATIC_THRUST_ROLLER * (1 - roller_mm * cos(angle) / pitch_mm) * surface
