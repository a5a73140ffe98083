"""Life over a duty of several loads and speeds.

Shares are of the running time. Lives in hours combine as 1/L = sum(share_k / L_k); with the revolutions of each
part as shares that is the same rule for lives in revolutions. A bearing that is unloaded in a part is not worn by it.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.lives import life_row
from bearings.engineering.loads import axial_weight, case_loads
from bearings.engineering.quantities import ROLLER_TYPES, Bearing, DutyPoint, Stack, guide_radial_n
from bearings.engineering.rating import system_life
from bearings.engineering.results import CaseLoads, LifeRow
from bearings.engineering.sharing import Sharing
from bearings.engineering.tables.life_factors import LIFE_EXPONENT_BALL, LIFE_EXPONENT_ROLLER

SOURCE: Final = "linear damage rule (Palmgren, Miner), series system of ISO/TR 1281-1"
Lives = dict[str, LifeRow]
# Beyond this share of a speed or thrust, a part of the duty counts as beyond what the cases cover.
ROUNDING: Final = 1e-9


class DutyRow(NamedTuple):
    """One part of a duty: its net load, the stack's life if it ran so always, and its share of the wear."""

    share: float
    speed_rpm: float
    down_thrust_n: float
    net_axial_n: float | None
    carried: bool | None
    stack_l10h: float | None
    stack_l10mh: float | None
    damage_share: float | None


class DutyBearing(NamedTuple):
    """Life of one bearing over the whole duty, and the equivalent load that gives the same life."""

    ref: str
    equivalent_load_n: float | None
    l10h: float | None
    l10mh: float | None


class DutyResult(NamedTuple):
    """Life over several loads and speeds; None where a part of the duty is not known."""

    stack_l10h: float | None
    stack_l10mh: float | None
    mean_speed_rpm: float
    bearings: tuple[DutyBearing, ...]
    rows: tuple[DutyRow, ...]


def net_thrusts(stack: Stack) -> list[tuple[int, float]]:
    """Return number (from 1) and net thrust in N (down positive) of every part of the duty that lasts at all.

    The rotor's weight and the part's external thrust; nothing while the weight is unknown. Source: statics.

    >>> from bearings.engineering.quantities import MotorDuty
    >>> part = DutyPoint(share=1.0, speed_rpm=1_780.0, down_thrust_n=30_000.0)
    >>> net_thrusts(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0, rotor_weight_n=2_200.0, duty=(part,)), items=()))
    [(1, 32200.0)]
    """
    weight = axial_weight(stack.motor)
    if weight is None:
        return []
    return [
        (number, weight + point.down_thrust_n)
        for number, point in enumerate(stack.motor.duty or (), 1)
        if point.share > 0
    ]


def combined_life(parts: list[tuple[float, float | None]]) -> float | None:
    """Return the life from (share of the time, life), 1/L = sum(share / L); a part that does not wear is left out.

    Lives in h, shares from 0 to 1; None while a life is unknown or nothing wears. Source: linear damage rule
    (Palmgren, Miner).

    >>> combined_life([(0.5, 10_000.0), (0.5, 30_000.0)])
    15000.0
    """
    if not parts or any(life is None for share, life in parts if share > 0):
        return None
    damage = sum(share / life for share, life in parts if life is not None and share > 0)
    return 1 / damage if damage > 0 else None


def equivalent_load(parts: list[tuple[float, float]], exponent: float) -> float:
    """Return the constant load in N that wears a bearing as (share of the revolutions, load) do.

    P = (sum(u P^p))^(1/p), p = 3 of ball, 10/3 of roller bearings; the shares add up to 1. Source: linear damage rule.

    >>> round(equivalent_load([(0.5, 10_000.0), (0.5, 20_000.0)], 3.0), 1)
    16509.6
    """
    most = max(load for _, load in parts)
    total: float = sum(share * (load / most) ** exponent for share, load in parts)
    return most * float(total ** (1 / exponent))


def _part_lives(
    stack: Stack, point: DutyPoint, case: CaseLoads, bearing: dict[str, Bearing], viscosity: float | None
) -> Lives:
    """Return the lives of the bearings that a part of the duty loads."""
    loaded = sum(row.unloaded is False for row in case.bearings)
    radial = stack.motor.radial_load_n
    lives = {}
    for ref, axial in case.loaded.items():
        share = None if radial is None else radial / max(loaded, 1)
        if ref.startswith("g"):
            share = guide_radial_n(stack, ref)
        lives[ref] = life_row(ref, bearing[ref], (axial, share), stack, viscosity, point.speed_rpm)
    return lives


def _system(values: list[tuple[str, float | None]], bearing: dict[str, Bearing]) -> float | None:
    lives = [life for _, life in values if life is not None]
    if not values or len(lives) < len(values):
        return None
    return system_life(lives, all_rollers=all(bearing[ref].type in ROLLER_TYPES for ref, _ in values))


def _bearing(
    ref: str, one: Bearing, points: tuple[DutyPoint, ...], lives: list[Lives], mean_rpm: float
) -> DutyBearing:
    """Return the life of one bearing over the parts that load it."""
    parts = [(point, found[ref]) for point, found in zip(points, lives, strict=True) if ref in found]
    loads = [
        (point.share * point.speed_rpm / mean_rpm, row.equivalent_load_n)
        for point, row in parts
        if point.share > 0
    ]
    known = [(share, load) for share, load in loads if load is not None]
    exponent = LIFE_EXPONENT_ROLLER if one.type in ROLLER_TYPES else LIFE_EXPONENT_BALL
    load = equivalent_load(known, exponent) if known and len(known) == len(loads) else None
    return DutyBearing(
        ref,
        load,
        combined_life([(point.share, row.l10h) for point, row in parts]),
        combined_life([(point.share, row.l10mh) for point, row in parts]),
    )


def duty_of(
    stack: Stack, mount: Mount, sharing: Sharing, bearing: dict[str, Bearing], viscosity: float | None
) -> DutyResult | None:
    """Return the life over the duty, None in it where it is not known; None where no duty is given.

    Viscosity in mm2/s. Each bearing's parts combine by :func:`combined_life`, the bearings as a series system.
    Source: linear damage rule (Palmgren, Miner), ISO/TR 1281-1.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty
    >>> stack = Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=())
    >>> duty_of(stack, mount_of(stack), Sharing(), {}, None) is None
    True
    """
    points, weight = stack.motor.duty, axial_weight(stack.motor)
    if points is None:
        return None
    cases = [
        None if weight is None else case_loads(mount, sharing, "running", weight + one.down_thrust_n)
        for one in points
    ]
    lives = [
        {} if case is None else _part_lives(stack, point, case, bearing, viscosity)
        for point, case in zip(points, cases, strict=True)
    ]
    counted = [case for point, case in zip(points, cases, strict=True) if point.share > 0]
    whole = all(case is not None and case.carried and case.not_shared is None for case in counted)
    mean = sum(one.share * one.speed_rpm for one in points) / sum(one.share for one in points)
    worn = {ref for one, found in zip(points, lives, strict=True) if one.share > 0 for ref in found}
    refs = [ref for ref in bearing if ref in worn] if whole else []
    rows = tuple(_bearing(ref, bearing[ref], points, lives, mean) for ref in refs)
    stack_l10h = _system([(row.ref, row.l10h) for row in rows], bearing)
    stack_l10mh = _system([(row.ref, row.l10mh) for row in rows], bearing)
    parts = [
        _row(point, case, found, bearing, stack_l10h)
        for point, case, found in zip(points, cases, lives, strict=True)
    ]
    return DutyResult(stack_l10h, stack_l10mh, mean, rows, tuple(parts))


def _row(
    point: DutyPoint,
    case: CaseLoads | None,
    lives: Lives,
    bearing: dict[str, Bearing],
    whole_h: float | None,
) -> DutyRow:
    basic = _system([(ref, row.l10h) for ref, row in lives.items()], bearing)
    modified = _system([(ref, row.l10mh) for ref, row in lives.items()], bearing)
    return DutyRow(
        point.share,
        point.speed_rpm,
        point.down_thrust_n,
        None if case is None else case.net_axial_n,
        None if case is None else case.carried,
        basic,
        modified,
        None if basic is None or whole_h is None else point.share * whole_h / basic,
    )
