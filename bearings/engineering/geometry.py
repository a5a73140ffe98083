"""Ratings computed from a ball bearing's inside (ISO 281:2007, ISO 76:2006)."""

from __future__ import annotations

from math import cos, radians

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
