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
    """Return fc of a single-row radial or angular contact ball bearing."""
    rows = [(place + 1) / 100 for place in range(len(table.FC_BALL))]
    return between_rows(rows, table.FC_BALL, gamma)


def ball_dynamic_rating(*, balls: int, ball_mm: float, pitch_mm: float, angle_deg: float) -> float:
    """Return C in N of one row of balls with a groove of usual osculation."""
    factor = table.BM_BALL * dynamic_factor(_gamma(ball_mm, pitch_mm, angle_deg))
    if ball_mm > table.LARGE_BALL_MM:
        size = table.LARGE_BALL_FACTOR * ball_mm**1.4
    else:
        size = ball_mm**1.8
    return float(factor * cos(radians(angle_deg)) ** 0.7 * balls ** (2 / 3) * size)


def ball_static_rating(*, balls: int, ball_mm: float, pitch_mm: float, angle_deg: float) -> float:
    """Return C0 in N of one row of balls."""
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
    """Return Cu in N of one row of balls: the load at which a contact reaches 1 500 N/mm2 (ISO 281:2007 Annex B)."""
    gamma = _gamma(ball_mm, pitch_mm, angle_deg)
    contacts = ball_contacts(ball_mm, gamma, inner_ratio, outer_ratio)
    # Pressure grows with the cube root of the load.
    pressure = max(contacts.inner.greatest_pressure(1.0), contacts.outer.greatest_pressure(1.0))
    ball_load = (table.FATIGUE_PRESSURE / pressure) ** 3
    size = (100 / pitch_mm) ** 0.5 if pitch_mm > 100 else 1.0
    return table.FATIGUE_ROW_SHARE * balls * ball_load * cos(radians(angle_deg)) * size


def thrust_roller_factor(ratio: float, angle_deg: float) -> float:
    """Return fc of a thrust roller bearing at Dwe cos(alpha) / Dpw; the closed form gives the table within 0.05."""
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
    """Return Ca in N of a single-row spherical roller thrust bearing; angles from above 45 to below 90 degrees."""
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
    """Return C0a in N of a single-row thrust roller bearing."""
    angle = radians(angle_deg)
    surface = rollers * length_mm * roller_mm * sin(angle)
    return table.STATIC_THRUST_ROLLER * (1 - roller_mm * cos(angle) / pitch_mm) * surface
