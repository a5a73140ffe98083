"""Estimate a bearing's ratings from what can be counted and measured on the bench, when no source prints them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from bearings.engineering.geometry import (
    ball_dynamic_rating,
    ball_fatigue_limit,
    ball_static_rating,
    thrust_roller_dynamic_rating,
    thrust_roller_static_rating,
)
from bearings.engineering.quantities import Bearing
from bearings.engineering.rating_plausibility import geometry_mistake
from bearings.engineering.tables import ratings as table


class EstimateError(ValueError):
    """Ratings cannot be estimated: ``fields`` are missing, or ``reason`` says what is wrong with them."""

    def __init__(self, fields: tuple[str, ...], reason: str) -> None:
        super().__init__(f"{reason}: {', '.join(fields)}")
        self.fields = fields
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Rollers:
    """Rollers of a thrust bearing as measured: count, mean diameter and length in contact, in mm."""

    count: int | None = None
    diameter_mm: float | None = None
    length_mm: float | None = None


class RatingEstimate(NamedTuple):
    """Estimated ratings in N and the standards they follow; never to be shown as printed ones.

    The fatigue load limit of roller bearings asks for the profile of the rollers and is left out.
    """

    dynamic_rating_n: float
    static_rating_n: float
    fatigue_load_limit_n: float | None
    source: str


def _required(**fields: object) -> None:
    missing = tuple(name for name, value in fields.items() if value is None)
    if missing:
        raise EstimateError(missing, "missing")


def estimate_ratings(bearing: Bearing, rollers: Rollers | None = None) -> RatingEstimate:
    """Return C, C0 and Cu of a bearing in N from its rolling elements (ISO 281:2007, ISO 76:2006).

    Ball bearings ask for count, diameter, pitch diameter (or bore and outside diameter) in mm and contact angle in
    degrees; spherical roller thrust bearings for their rollers, too. Raises :class:`EstimateError` with the fields
    concerned.

    >>> one = Bearing(type="deep_groove_ball", ball_count=9, ball_diameter_mm=7.938, pitch_diameter_mm=39.04)
    >>> found = estimate_ratings(one)
    >>> round(found.dynamic_rating_n), round(found.static_rating_n)
    (14021, 7883)
    """
    if bearing.type == "spherical_roller_thrust":
        return _thrust_roller(bearing, rollers or Rollers())
    if bearing.type == "cylindrical_roller":
        raise EstimateError(("type",), "no-rule")
    angle = 0.0 if bearing.type == "deep_groove_ball" else bearing.contact_angle_deg
    _required(
        ball_count=bearing.ball_count,
        ball_diameter_mm=bearing.ball_diameter_mm,
        pitch_diameter_mm=bearing.pitch_mm,
        contact_angle_deg=angle,
    )
    if geometry_mistake(bearing) is not None:
        raise EstimateError(("ball_count", "ball_diameter_mm"), "impossible")
    inside = {
        "balls": bearing.ball_count or 0,
        "ball_mm": bearing.ball_diameter_mm or 0.0,
        "pitch_mm": bearing.pitch_mm or 0.0,
        "angle_deg": angle or 0.0,
    }
    try:
        dynamic, static = ball_dynamic_rating(**inside), ball_static_rating(**inside)  # type: ignore[arg-type]
        limit = ball_fatigue_limit(**inside, **_grooves(bearing))  # type: ignore[arg-type]
    except ValueError as error:
        raise EstimateError(("ball_diameter_mm", "pitch_diameter_mm"), "outside-table") from error
    source = f"{table.DYNAMIC_SOURCE}; {table.STATIC_SOURCE}; {table.FATIGUE_LIMIT_SOURCE}"
    return RatingEstimate(dynamic, static, limit, source)


def _grooves(bearing: Bearing) -> dict[str, float]:
    """Return the groove ratios that were entered; the ratings' formulas are for the usual ones alone."""
    entered = {"inner_ratio": bearing.inner_groove_ratio, "outer_ratio": bearing.outer_groove_ratio}
    return {name: ratio for name, ratio in entered.items() if ratio is not None}


def _thrust_roller(bearing: Bearing, rollers: Rollers) -> RatingEstimate:
    pitch, angle = bearing.pitch_mm, bearing.contact_angle_deg
    _required(
        roller_count=rollers.count,
        roller_diameter_mm=rollers.diameter_mm,
        roller_length_mm=rollers.length_mm,
        pitch_diameter_mm=pitch,
        contact_angle_deg=angle,
    )
    inside = {
        "rollers": rollers.count or 0,
        "roller_mm": rollers.diameter_mm or 0.0,
        "length_mm": rollers.length_mm or 0.0,
        "pitch_mm": pitch or 0.0,
        "angle_deg": angle or 0.0,
    }
    try:
        dynamic = thrust_roller_dynamic_rating(**inside)  # type: ignore[arg-type]
    except ValueError as error:
        fields = ("roller_diameter_mm", "pitch_diameter_mm", "contact_angle_deg")
        raise EstimateError(fields, "outside-table") from error
    static = thrust_roller_static_rating(**inside)  # type: ignore[arg-type]
    source = f"{table.THRUST_ROLLER_SOURCE}; {table.THRUST_ROLLER_STATIC_SOURCE}"
    return RatingEstimate(dynamic, static, None, source)
