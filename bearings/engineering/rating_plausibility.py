"""Whether what is entered of a bearing can be true: ratings against balls, envelope and each other, sizes against the
designation; and whether a slip of the unit explains what is not.

Makers rate above and below the standard's calculation, so a rating is doubted only far from it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import asin, log, pi
from typing import Final, Literal, NamedTuple

from bearings.engineering.boundary import boundary_dimensions
from bearings.engineering.geometry import ball_dynamic_rating, ball_static_rating
from bearings.engineering.quantities import Bearing

PLAUSIBLE_SOURCE: Final = "ISO 281 and ISO 76 from the balls; range: common practice, no source"
# What a printed rating may be of the calculated one (common practice, no source).
LEAST_RATIO: Final = 0.75
GREATEST_RATIO: Final = 1.35
# Without balls a usual inside is taken from the envelope: ball diameter as a share of outside diameter minus bore, the
# share of the pitch circle that the balls fill, the contact angle where none is entered. Insides differ
# widely: a rating is asked about only where a slip of the unit explains it within a factor, or far outside (all: common
# practice, no source).
USUAL_BALL_SHARE: Final = 0.30
USUAL_FILL: Final[dict[str, float]] = {"deep_groove_ball": 0.58, "angular_contact_ball": 0.90}
USUAL_ANGLE_DEG: Final = 40.0
SLIP_WITHIN: Final = 1.6
LEAST_ENVELOPE_RATIO: Final = 0.25
GREATEST_ENVELOPE_RATIO: Final = 4.0
# What static over dynamic rating may be (common practice, no source).
STATIC_RATIOS: Final[dict[str, tuple[float, float]]] = {
    "deep_groove_ball": (0.3, 2.0),
    "angular_contact_ball": (0.3, 2.5),
    "spherical_roller_thrust": (1.5, 6.5),
    "cylindrical_roller": (0.5, 3.0),
}
# Sizes printed in inches are rounded to a ten-thousandth of an inch.
SAME_BOUNDARY_MM: Final = 0.005
MM_PER_INCH: Final = 25.4
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


class EnvelopeDoubt(NamedTuple):
    """A rating far from what a usual inside of this envelope gives; a slip of the unit may explain it."""

    field: Literal["dynamic_rating_n", "static_rating_n"]
    entered_n: float
    expected_n: float
    suspected: SuspectedUnit | None


class RatioDoubt(NamedTuple):
    """Static over dynamic rating outside what its type of bearing has."""

    dynamic_n: float
    static_n: float
    ratio: float
    low: float
    high: float


class BoundaryDoubt(NamedTuple):
    """A size that differs from the boundary dimension of the designation; in inches, perhaps."""

    field: Literal["bore_mm", "outside_diameter_mm", "height_mm"]
    entered_mm: float
    standard_mm: float
    origin: str
    inches: bool


EntryDoubt = RatingDoubt | EnvelopeDoubt | RatioDoubt | BoundaryDoubt


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
    found = _ratings_of_balls(balls, ball, pitch, angle)
    return {} if found is None else {"dynamic_rating_n": found[0], "static_rating_n": found[1]}


# The bearings of a set have the same balls.
@lru_cache(maxsize=512)
def _ratings_of_balls(
    balls: int, ball_mm: float, pitch_mm: float, angle_deg: float
) -> tuple[float, float] | None:
    """Return C and C0 in N; None outside the standards' tables."""
    try:
        return (
            ball_dynamic_rating(balls=balls, ball_mm=ball_mm, pitch_mm=pitch_mm, angle_deg=angle_deg),
            ball_static_rating(balls=balls, ball_mm=ball_mm, pitch_mm=pitch_mm, angle_deg=angle_deg),
        )
    except ValueError:
        return None


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


def entry_doubts(bearing: Bearing) -> tuple[EntryDoubt, ...]:
    """Return everything that should be asked about before a bearing is written into a book."""
    doubts: list[EntryDoubt] = [*rating_doubts(bearing)]
    if not calculated_ratings(bearing):
        doubts += _envelope_doubts(bearing)
    if not doubts:
        # Where one of the two is doubted already, their ratio says nothing new.
        doubts += _ratio_doubts(bearing)
    return (*doubts, *boundary_doubts(bearing))


def _envelope_doubts(bearing: Bearing) -> list[EntryDoubt]:
    doubts: list[EntryDoubt] = []
    for field, expected in calculated_ratings(usual_inside(bearing)).items():
        entered = getattr(bearing, field)
        if entered is None:
            continue
        suspected = _slip(entered / expected)
        if suspected is not None or not LEAST_ENVELOPE_RATIO <= entered / expected <= GREATEST_ENVELOPE_RATIO:
            doubts.append(EnvelopeDoubt(field, entered, expected, suspected))
    return doubts


def usual_inside(bearing: Bearing) -> Bearing:
    """Return a ball bearing with balls as they usually are in its envelope; others come back as they are."""
    bore, outside = bearing.bore_mm, bearing.outside_diameter_mm
    if bearing.type not in USUAL_FILL or bore is None or outside is None:
        return bearing
    ball, pitch = USUAL_BALL_SHARE * (outside - bore), (bore + outside) / 2
    count = max(1, round(USUAL_FILL[bearing.type] * pi / asin(ball / pitch)))
    angle = USUAL_ANGLE_DEG if bearing.contact_angle_deg is None else bearing.contact_angle_deg
    return replace(
        bearing,
        ball_count=count,
        ball_diameter_mm=ball,
        pitch_diameter_mm=pitch,
        contact_angle_deg=angle,
    )


def _slip(ratio: float) -> SuspectedUnit | None:
    """Return the unit whose factor is nearest to a ratio, if it is near at all."""
    unit, factor = min(UNITS, key=lambda one: abs(log(ratio / one[1])))
    return unit if abs(log(ratio / factor)) <= log(SLIP_WITHIN) else None


def _ratio_doubts(bearing: Bearing) -> list[EntryDoubt]:
    dynamic, static = bearing.dynamic_rating_n, bearing.static_rating_n
    if dynamic is None or static is None:
        return []
    low, high = STATIC_RATIOS[bearing.type]
    ratio = static / dynamic
    return [] if low <= ratio <= high else [RatioDoubt(dynamic, static, ratio, low, high)]


def boundary_doubts(bearing: Bearing) -> tuple[BoundaryDoubt, ...]:
    """Return the sizes that differ from the boundary dimensions of the designation, where those are known."""
    known = boundary_dimensions(bearing.designation or "")
    if known is None:
        return ()
    doubts = []
    for field in ("bore_mm", "outside_diameter_mm", "height_mm"):
        entered, standard = getattr(bearing, field), getattr(known, field)
        if entered is None or standard is None or abs(entered - standard) <= SAME_BOUNDARY_MM:
            continue
        inches = abs(entered * MM_PER_INCH - standard) <= SAME_BOUNDARY_MM
        doubts.append(BoundaryDoubt(field, entered, standard, known.origin, inches))
    return tuple(doubts)
