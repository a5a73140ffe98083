"""Permissible speed of a stack: printed ratings, set factors and margins over the motor's speeds."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from typing import Final

from bearings.engineering.arrangement import Mount, RefBearing
from bearings.engineering.quantities import Bearing, Method, MotorDuty, SetFactors, Stack
from bearings.engineering.results import Basis, Margin, SpeedName, SpeedResult, SpeedRow

# Speeds that differ by more than this share are compared as they are; else to the last decimal.
FAR_APART: Final = 1e-9
SET_FACTOR_SOURCE: Final = "common practice, no source; shop policy"
RATING_SOURCE: Final = "printed speeds of the bearing's source"


def rated_speed(bearing: Bearing, method: Method | None) -> tuple[float, Basis] | None:
    """Return the printed speed of one bearing in rpm that counts, and its basis; None when it has no usable speed.

    The lower of the limiting speed and the speed for the way of lubrication; with grease a speed for grease is
    needed, and a reference speed counts only where nothing else is printed. Source: the bearing's own source.

    >>> one = Bearing(type="deep_groove_ball", limiting_speed_rpm=5_000.0, grease_speed_rpm=4_000.0)
    >>> rated_speed(one, "oil_bath"), rated_speed(one, "grease")
    ((5000.0, 'limiting'), (4000.0, 'grease'))
    """
    known: list[tuple[float, Basis]] = []
    if bearing.limiting_speed_rpm is not None:
        known.append((bearing.limiting_speed_rpm, "limiting"))
    if method == "grease":
        if bearing.grease_speed_rpm is None:
            return None
        known.append((bearing.grease_speed_rpm, "grease"))
    elif method is not None and bearing.oil_speed_rpm is not None:
        known.append((bearing.oil_speed_rpm, "oil"))
    if known:
        return min(known, key=lambda pair: pair[0])
    if bearing.reference_speed_rpm is not None:
        return bearing.reference_speed_rpm, "reference"
    return None


def set_factor(down: int, up: int, factors: SetFactors) -> float:
    """Return the speed factor of a set of one-way bearings by how many look each way.

    ``down`` and ``up`` are counts from 0 on. Source: common practice, no source; the shop's policy replaces it.

    >>> set_factor(1, 0, SetFactors()), set_factor(2, 1, SetFactors()), set_factor(2, 2, SetFactors())
    (1.0, 0.7, 0.75)
    """
    fewer, more = sorted((down, up))
    if fewer == 0:
        if more <= 1:
            return factors.single
        return factors.tandem_pair if more == 2 else factors.tandem_many
    if more == 1:
        return factors.opposed_pair
    return factors.opposed_single_side if fewer == 1 else factors.opposed_many


def bearing_set_factor(bearing: Bearing, of_the_set: float, factors: SetFactors) -> float:
    """Return the factor of one bearing: springs free it from the set; only one-way bearings form a set.

    ``of_the_set`` is the factor of :func:`set_factor`. Source: common practice, no source; the shop's policy.

    >>> bearing_set_factor(Bearing(type="deep_groove_ball"), 0.7, SetFactors())
    1.0
    """
    if bearing.on_springs:
        return factors.spring
    return of_the_set if bearing.is_one_way else factors.single


@lru_cache(maxsize=256)
def permissible(rating_rpm: float, factor: float) -> float:
    """Return rating times factor in rpm without the rounding of binary fractions.

    >>> permissible(2_700.0, 0.7), 2_700.0 * 0.7
    (1890.0, 1889.9999999999998)
    """
    return float(Decimal(repr(rating_rpm)) * Decimal(repr(factor)))


def falls_short(permissible_rpm: float, speed_rpm: float, margin: float) -> bool:
    """Return whether a permissible speed leaves less than a margin over a speed, compared exactly.

    Both speeds in rpm; ``margin`` is a share from 0 on: permissible < speed (1 + margin).

    >>> falls_short(1_980.0, 1_800.0, 0.10), falls_short(1_979.0, 1_800.0, 0.10)
    (False, True)
    """
    apart = permissible_rpm - speed_rpm * (1 + margin)
    if abs(apart) > FAR_APART * speed_rpm:
        return apart < 0  # no rounding of binary fractions is as great
    wanted = Decimal(repr(speed_rpm)) * (1 + Decimal(repr(margin)))
    return Decimal(repr(permissible_rpm)) < wanted


def _rows(stack: Stack, mount: Mount, guides: tuple[RefBearing, ...]) -> tuple[SpeedRow, ...]:
    factors, elsewhere = stack.policy.set_factors, dict(mount.guides)
    of_the_set = set_factor(len(mount.down), len(mount.up), factors)
    rows = []
    for ref, one in (*mount.bearings, *guides):
        factor = factors.single
        if not ref.startswith("g") or one.on_springs:
            factor = bearing_set_factor(one, of_the_set, factors)
        # While a face is not known, neither is the set that the factor belongs to.
        set_known = not mount.unfaced or not one.is_one_way or one.on_springs or ref.startswith("g")
        method = stack.lubrication.method
        rating = rated_speed(one, elsewhere[ref].method(method) if ref in elsewhere else method)
        if rating is None:
            rows.append(SpeedRow(ref, None, None, factor, None))
        else:
            allowed = permissible(rating[0], factor) if set_known else None
            rows.append(SpeedRow(ref, rating[0], rating[1], factor, allowed))
    return tuple(rows)


def continuous_speeds(motor: MotorDuty) -> tuple[tuple[SpeedName, float], ...]:
    """Return the motor's known continuous speeds by name, in rpm.

    >>> continuous_speeds(MotorDuty(rated_speed_rpm=1_780.0, synchronous_speed_rpm=1_800.0))
    (('rated', 1780.0), ('synchronous', 1800.0))
    """
    speeds: tuple[tuple[SpeedName, float | None], ...] = (
        ("rated", motor.rated_speed_rpm),
        ("synchronous", motor.synchronous_speed_rpm),
        ("maximum", motor.maximum_speed_rpm),
    )
    return tuple((name, speed) for name, speed in speeds if speed is not None)


def lowest_limiting_speed(bearings: tuple[RefBearing, ...]) -> tuple[float, str] | None:
    """Return the lowest limiting speed in rpm and its ref; None when a bearing has none.

    >>> lowest_limiting_speed((("1", Bearing(type="deep_groove_ball", limiting_speed_rpm=2_700.0)),))
    (2700.0, '1')
    """
    lowest: tuple[float, str] | None = None
    for ref, one in bearings:
        if one.limiting_speed_rpm is None:
            return None
        if lowest is None or one.limiting_speed_rpm < lowest[0]:
            lowest = (one.limiting_speed_rpm, ref)
    return lowest


def _margin(name: SpeedName, speed_rpm: float, permissible_rpm: float) -> Margin:
    return Margin(name, speed_rpm, permissible_rpm, permissible_rpm / speed_rpm - 1)


def assess_speed(stack: Stack, mount: Mount, guides: tuple[RefBearing, ...]) -> SpeedResult:
    """Return ratings, permissible speed and margins of the stack's bearings and its loaded guides.

    margin = permissible / speed - 1; against backspin the lowest limiting speed counts, without set factor.
    Source: printed speeds of the bearings' source; set factors are common practice, no source, shop policy.

    >>> from bearings.engineering.arrangement import mount_of
    >>> pair = (Bearing(type="angular_contact_ball", wide_face="down", limiting_speed_rpm=2_700.0),) * 2
    >>> stack = Stack(motor=MotorDuty(rated_speed_rpm=1_800.0), items=pair)
    >>> found = assess_speed(stack, mount_of(stack), ())
    >>> found.permissible_rpm, round(found.margins[0].margin, 3)
    (2430.0, 0.35)
    """
    rows = _rows(stack, mount, guides)
    lowest_rpm: float | None = None
    governing: str | None = None
    for row in rows:
        if row.permissible_rpm is not None and (lowest_rpm is None or row.permissible_rpm < lowest_rpm):
            lowest_rpm, governing = row.permissible_rpm, row.ref
    margins = []
    if lowest_rpm is not None:
        margins = [_margin(name, speed, lowest_rpm) for name, speed in continuous_speeds(stack.motor)]
    reverse = stack.motor.reverse_speed_rpm
    lowest = lowest_limiting_speed((*mount.bearings, *guides))
    if reverse is not None and stack.motor.non_reverse is not True and lowest is not None:
        margins.append(_margin("reverse", reverse, lowest[0]))
    complete = bool(rows) and all(row.permissible_rpm is not None for row in rows)
    return SpeedResult(rows, lowest_rpm, governing, complete, tuple(margins))
