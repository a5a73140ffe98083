"""A spherical roller thrust bearing whose housing washer rests on springs, held by a guide that carries the other way.

The springs press with their installed force F0. Below that thrust the shaft hangs in the guide, which carries
F0 - P; above it the springs give way, u = (P - F0) / k, until they are solid and the washer sits on its seat.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.least_load import least_load
from bearings.engineering.lives import life_row
from bearings.engineering.loads import holding_guides
from bearings.engineering.quantities import Bearing, Stack, opposite
from bearings.engineering.results import CaseLoads, CaseName, SpeedResult

SOURCE: Final = "statics: u = (P - F0) / k, solid from P = F0 + k travel"
FIELDS: Final = ("spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm")


class SpringCase(NamedTuple):
    """Springs in one case: what the washer pair and the guides carry, how far the springs are pressed."""

    case: CaseName
    axial_n: float | None
    guide_n: float | None
    compression_mm: float | None
    solid: bool | None


class SpringGuide(NamedTuple):
    """A guide that holds a sprung bearing: its worst case, and its life if it ran so at rated speed."""

    ref: str
    case: CaseName
    axial_n: float
    l10h: float | None
    permissible_rpm: float | None


class SpringRow(NamedTuple):
    """A spherical roller thrust bearing whose ring rests on springs.

    ``compression_mm`` of its cases counts from the installed height; from ``solid_from_n`` of thrust on the springs
    are solid. ``minimum_load_n`` is what the rollers need at rated speed, where the maker's factor is known.
    """

    ref: str
    guides: tuple[str, ...]
    force_n: float | None
    rate_n_per_mm: float | None
    travel_mm: float | None
    solid_from_n: float | None
    minimum_load_n: float | None
    cases: tuple[SpringCase, ...]
    held: tuple[SpringGuide, ...]


def solid_from_n(bearing: Bearing) -> float | None:
    """Return the thrust F0 + k travel in N from which the springs are solid; None while a datum is not known.

    Source: statics.

    >>> SPRUNG = Bearing(
    ...     type="spherical_roller_thrust", spring_force_n=4_200.0, spring_rate_n_per_mm=2_600.0, spring_travel_mm=2.5
    ... )
    >>> solid_from_n(SPRUNG)
    10700.0
    """
    force, rate, travel = bearing.spring_force_n, bearing.spring_rate_n_per_mm, bearing.spring_travel_mm
    return None if force is None or rate is None or travel is None else force + rate * travel


def compression_mm(bearing: Bearing, thrust_n: float) -> float | None:
    """Return u = (P - F0) / k in mm: how far springs are pressed below their installed height, at most until solid.

    ``thrust_n`` is P in the bearing's own direction. None while force or rate is not known. Source: statics.

    >>> one = Bearing(
    ...     type="spherical_roller_thrust", spring_force_n=4_200.0, spring_rate_n_per_mm=2_600.0, spring_travel_mm=2.5
    ... )
    >>> compression_mm(one, 3_000.0), compression_mm(one, 6_800.0), compression_mm(one, 20_000.0)
    (0.0, 1.0, 2.5)
    """
    force, rate, travel = bearing.spring_force_n, bearing.spring_rate_n_per_mm, bearing.spring_travel_mm
    if force is None:
        return None
    if thrust_n <= force:
        return 0.0
    if rate is None:
        return None
    pressed = (thrust_n - force) / rate
    return pressed if travel is None else min(pressed, travel)


def sprung_rollers(mount: Mount) -> list[tuple[str, Bearing]]:
    """Return the spherical roller thrust bearings of the stack that rest on springs, with their refs.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty
    >>> one = Bearing(type="spherical_roller_thrust", wide_face="down", spring_force_n=4_200.0)
    >>> mount = mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(one,)))
    >>> [ref for ref, _ in sprung_rollers(mount)]
    ['1']
    """
    return [
        (ref, one) for ref, one in mount.one_way if one.type == "spherical_roller_thrust" and one.on_springs
    ]


def _case(ref: str, one: Bearing, guides: tuple[str, ...], case: CaseLoads) -> SpringCase:
    axial = case.axial_n(ref)
    loads = [case.axial_n(guide) for guide in guides]
    held = None if not guides or None in loads else sum(load for load in loads if load is not None)
    thrust = case.net_axial_n if one.wide_face == "down" else -case.net_axial_n
    limit = solid_from_n(one)
    solid = None if limit is None else thrust > 0 and thrust >= limit
    return SpringCase(case.name, axial, held, compression_mm(one, thrust), solid)


def _held(
    ref: str, one: Bearing, cases: tuple[CaseLoads, ...], stack: Stack, viscosity: float | None
) -> SpringGuide | None:
    """Return the worst case of a guide with its life there, as if the motor ran so at rated speed."""
    loads = [(case.loaded[ref], case.name) for case in cases if ref in case.loaded]
    if not loads:
        return None
    axial, name = max(loads)
    life = life_row(ref, one, (axial, 0.0), stack, viscosity).l10h
    return SpringGuide(ref, name, axial, life, None)


def spring_rows(
    stack: Stack,
    mount: Mount,
    cases: tuple[CaseLoads, ...],
    speed: SpeedResult,
    viscosity: float | None,
    entered: Mapping[str, Bearing] | None = None,
) -> tuple[SpringRow, ...]:
    """Return a row for every spherical roller thrust bearing on springs.

    ``entered`` are the bearings as entered, where those of the stack hold values out of ranges: the least load of a
    maker's factor and that of an estimate follow different formulas.
    """
    permissible = {row.ref: row.permissible_rpm for row in speed.bearings}
    rows = []
    guide_bearings = {ref: guide.bearing for ref, guide in mount.guides}
    for ref, one in sprung_rollers(mount):
        way = opposite(one.wide_face or "down")
        guides = holding_guides(mount, way)
        found = [_held(name, guide_bearings[name], cases, stack, viscosity) for name in guides]
        held = tuple(row._replace(permissible_rpm=permissible.get(row.ref)) for row in found if row)
        rows.append(
            SpringRow(
                ref,
                guides,
                one.spring_force_n,
                one.spring_rate_n_per_mm,
                one.spring_travel_mm,
                solid_from_n(one),
                _least_n(stack, one, one if entered is None else entered[ref]),
                tuple(_case(ref, one, guides, case) for case in cases),
                held,
            )
        )
    return tuple(rows)


def _least_n(stack: Stack, one: Bearing, entered: Bearing) -> float | None:
    """Return what the rollers need at rated speed in N; a radial load that is not known can only raise it."""
    maker = entered.minimum_load_factor_n
    if maker is None and one is entered:
        return None
    least = least_load(one, stack.motor.radial_load_n or 0.0, maker)
    rated = stack.motor.rated_speed_rpm
    return None if least is None or rated is None else least.at(rated)
