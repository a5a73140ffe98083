"""Whether a bearing's ratings can be true: against its balls, and against a slip of the unit.

Makers rate above and below the standard's calculation, so a rating is doubted only far from it.
"""

from __future__ import annotations

from math import asin, pi
from typing import Final, Literal, NamedTuple

from bearings.engineering.geometry import ball_dynamic_rating, ball_static_rating
from bearings.engineering.quantities import Bearing

PLAUSIBLE_SOURCE: Final = "ISO 281 and ISO 76 from the balls; range: common practice, no source"
# What a printed rating may be of the calculated one (common practice, no source).
LEAST_RATIO: Final = 0.75
GREATEST_RATIO: Final = 1.35
# A rating typed in another unit than newtons is off by this factor.
SuspectedUnit = Literal["lbf", "kN", "kgf"]
UNITS: Final[tuple[tuple[SuspectedUnit, float], ...]] = (
    ("lbf", 1 / 4.4482216152605),
    ("kN", 1e-3),
    ("kgf", 1 / 9.80665),
)


class RatingDoubt(NamedTuple):
    """A rating far from what the balls give: field, both values in N, their ratio, the unit it may have been in."""

    field: Literal["dynamic_rating_n", "static_rating_n"]
    entered_n: float
    geometry_n: float
    ratio: float
    suspected: SuspectedUnit | None


class GeometryMistake(NamedTuple):
    """Balls that cannot be: what they need and what there is, in mm."""

    reason: Literal["overlap", "too-large"]
    needed_mm: float
    there_mm: float


def geometry_mistake(bearing: Bearing) -> GeometryMistake | None:
    """Return why the balls of a bearing cannot be; None when they can, or when nothing is known of them.

    Balls that touch each other fill an arc of the pitch circle; all arcs must not be longer than the circle. A ball
    must be smaller than the space between bore and outside diameter.
    """
    ball, pitch = bearing.ball_diameter_mm, bearing.pitch_mm
    if ball is None:
        return None
    if bearing.bore_mm is not None and bearing.outside_diameter_mm is not None:
        space = (bearing.outside_diameter_mm - bearing.bore_mm) / 2
        if ball >= space:
            return GeometryMistake("too-large", ball, space)
    if bearing.ball_count is None or pitch is None:
        return None
    if ball >= pitch:
        return GeometryMistake("too-large", ball, pitch)
    needed, there = bearing.ball_count * pitch * asin(ball / pitch), pi * pitch
    return GeometryMistake("overlap", needed, there) if needed > there else None


def calculated_ratings(bearing: Bearing) -> dict[Literal["dynamic_rating_n", "static_rating_n"], float]:
    """Return C and C0 in N from the balls; empty when they are not known or outside the standards' tables."""
    angle = 0.0 if bearing.type == "deep_groove_ball" else bearing.contact_angle_deg
    balls, ball, pitch = bearing.ball_count, bearing.ball_diameter_mm, bearing.pitch_mm
    if not bearing.type.endswith("ball") or angle is None or balls is None or ball is None or pitch is None:
        return {}
    if geometry_mistake(bearing) is not None:
        return {}
    try:
        return {
            "dynamic_rating_n": ball_dynamic_rating(
                balls=balls, ball_mm=ball, pitch_mm=pitch, angle_deg=angle
            ),
            "static_rating_n": ball_static_rating(balls=balls, ball_mm=ball, pitch_mm=pitch, angle_deg=angle),
        }
    except ValueError:
        return {}


def rating_doubts(bearing: Bearing) -> tuple[RatingDoubt, ...]:
    """Return the ratings of a bearing that are far from what its balls give."""
    doubts = []
    for field, geometry in calculated_ratings(bearing).items():
        entered = getattr(bearing, field)
        if entered is None:
            continue
        ratio = entered / geometry
        if not LEAST_RATIO <= ratio <= GREATEST_RATIO:
            doubts.append(RatingDoubt(field, entered, geometry, ratio, suspected_unit(ratio)))
    return tuple(doubts)


def suspected_unit(ratio: float) -> SuspectedUnit | None:
    """Return the unit that a rating may have been typed in, by its ratio to the expected newtons."""
    for unit, factor in UNITS:
        if LEAST_RATIO <= ratio / factor <= GREATEST_RATIO:
            return unit
    return None
