"""Permissible speed of each bearing and of the set, and the margins to the motor's speeds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bearings.engineering.arrangement import Arrangement, Placed
from bearings.engineering.quantities import Bearing, Lubrication, Policy, SetFactors, Stack

SpeedName = Literal["rated", "synchronous", "maximum", "reverse"]
Basis = Literal["limiting", "oil", "grease", "reference"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingSpeed:
    """Speed rating of one bearing; None where it is not rated. [r/min]"""

    ref: str
    rating_rpm: float | None
    basis: Basis | None
    set_factor: float
    permissible_rpm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """How far the permissible speed lies above one speed of the motor: 0.10 is 10 %."""

    speed: SpeedName
    speed_rpm: float
    permissible_rpm: float
    margin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Speeds:
    """Speeds of the whole stack. ``complete`` is False when any bearing is not rated."""

    bearings: tuple[BearingSpeed, ...]
    permissible_rpm: float | None
    governing: str | None
    complete: bool
    margins: tuple[Margin, ...]
    reverse_unrated: tuple[str, ...]


def speed_rating(bearing: Bearing, oil: Lubrication) -> tuple[float | None, Basis | None]:
    """Return the rating that applies with this lubrication, and what it is based on. [r/min]

    The lower of the limiting speed and the printed speed for the method counts. Grease needs a grease
    speed. Only when none of these is known does the thermal reference speed serve.
    """
    choices: list[tuple[float, Basis]] = []
    if bearing.limiting_speed_rpm is not None:
        choices.append((bearing.limiting_speed_rpm, "limiting"))
    if oil.method == "grease":
        if bearing.grease_speed_rpm is None:
            return None, None
        choices.append((bearing.grease_speed_rpm, "grease"))
    elif oil.method is not None and bearing.oil_speed_rpm is not None:
        choices.append((bearing.oil_speed_rpm, "oil"))
    if choices:
        return min(choices, key=lambda choice: choice[0])
    if bearing.reference_speed_rpm is not None:
        return bearing.reference_speed_rpm, "reference"
    return None, None


def set_factor(arrangement: Arrangement, factors: SetFactors) -> float:
    """Return the factor of the set of one-way bearings (common practice, no source). [-]"""
    down, up = len(arrangement.carries_down), len(arrangement.carries_up)
    if down + up <= 1:
        return factors.single
    if not down or not up:
        return factors.tandem_pair if down + up == 2 else factors.tandem_many
    if down == up == 1:
        return factors.opposed_pair
    return factors.opposed_single_side if min(down, up) == 1 else factors.opposed_many


def _bearing_speed(ref: str, bearing: Bearing, oil: Lubrication, factor: float) -> BearingSpeed:
    rating, basis = speed_rating(bearing, oil)
    return BearingSpeed(
        ref=ref,
        rating_rpm=rating,
        basis=basis,
        set_factor=factor,
        permissible_rpm=None if rating is None else rating * factor,
    )


def _factor_of(bearing: Bearing, of_set: float, policy: Policy) -> float:
    if not bearing.is_one_way:
        return policy.set_factors.single
    return policy.set_factors.spring if bearing.spring_force_n is not None else of_set


def find_speeds(stack: Stack, placed: tuple[Placed, ...], arrangement: Arrangement) -> Speeds:
    """Return the speed ratings of every bearing of the stack and every guide, and the margins."""
    of_set = set_factor(arrangement, stack.policy.set_factors)
    oil = stack.lubrication
    everyone: list[tuple[str, Bearing]] = [(p.ref, p.bearing) for p in placed]
    everyone += [(f"g{n}", guide.bearing) for n, guide in enumerate(stack.guides, 1)]
    lines = []
    for ref, bearing in everyone:
        own = bearing.is_one_way and not ref.startswith("g")
        factor = _factor_of(bearing, of_set, stack.policy) if own else stack.policy.set_factors.single
        lines.append(_bearing_speed(ref, bearing, oil, factor))
    rated = [line for line in lines if line.permissible_rpm is not None]
    governing = min(rated, key=lambda line: line.permissible_rpm or 0.0) if rated else None
    permissible = governing.permissible_rpm if governing else None
    margins = _margins(stack, permissible)
    unrated: tuple[str, ...] = ()
    motor = stack.motor
    if motor.reverse_speed_rpm is not None and motor.non_reverse is not True:
        unrated = tuple(ref for ref, bearing in everyone if bearing.limiting_speed_rpm is None)
        if not unrated:
            lowest = min(bearing.limiting_speed_rpm or 0.0 for _, bearing in everyone)
            margins.append(_margin("reverse", motor.reverse_speed_rpm, lowest))
    return Speeds(
        bearings=tuple(lines),
        permissible_rpm=permissible,
        governing=governing.ref if governing else None,
        complete=len(rated) == len(lines),
        margins=tuple(margins),
        reverse_unrated=unrated,
    )


def _margins(stack: Stack, permissible: float | None) -> list[Margin]:
    if permissible is None:
        return []
    motor = stack.motor
    speeds: tuple[tuple[SpeedName, float | None], ...] = (
        ("rated", motor.rated_speed_rpm),
        ("synchronous", motor.synchronous_speed_rpm),
        ("maximum", motor.maximum_speed_rpm),
    )
    return [_margin(name, speed, permissible) for name, speed in speeds if speed is not None]


def _margin(name: SpeedName, speed_rpm: float, permissible_rpm: float) -> Margin:
    return Margin(
        speed=name, speed_rpm=speed_rpm, permissible_rpm=permissible_rpm, margin=permissible_rpm / speed_rpm - 1
    )
