"""Load cases of a motor and what every bearing on the shaft carries in each."""

from __future__ import annotations

from typing import Final

from bearings.engineering.arrangement import Mount, RefBearing
from bearings.engineering.quantities import Direction, MotorDuty, opposite
from bearings.engineering.results import (
    UNLOADED_BELOW_N,
    BearingLoad,
    CaseLoads,
    CaseName,
    GuideLoad,
)
from bearings.engineering.sharing import Sharing, freeing_thrust, shared_forces, sharing_of

Loads = dict[str, float | None]


def axial_weight(motor: MotorDuty) -> float | None:
    """Return the part of the rotor weight in N that acts along the shaft: none of it on a horizontal one.

    >>> axial_weight(MotorDuty(rated_speed_rpm=1_780.0, mounting="horizontal", rotor_weight_n=2_200.0))
    0.0
    """
    return motor.rotor_weight_n if motor.mounting == "vertical" else 0.0


def net_loads(motor: MotorDuty) -> dict[CaseName, float]:
    """Return the net axial load in N (down positive) of every case whose inputs are known. Source: statics.

    >>> net_loads(MotorDuty(rated_speed_rpm=1_780.0, rotor_weight_n=2_200.0, down_thrust_n=30_000.0))
    {'running': 32200.0, 'uncoupled': 2200.0}
    """
    weight = axial_weight(motor)
    if weight is None:
        return {}
    cases: tuple[tuple[CaseName, float | None, int], ...] = (
        ("running", motor.down_thrust_n, 1),
        ("uncoupled", 0.0, 1),
        ("up_thrust", motor.up_thrust_n, -1),
        ("maximum", motor.maximum_down_thrust_n, 1),
    )
    return {name: weight + sign * thrust for name, thrust, sign in cases if thrust is not None}


def holding_guides(mount: Mount, direction: Direction) -> tuple[str, ...]:
    """Return the guides that carry a direction without end play; one that gives none counts as without.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import Bearing, Guide, Stack
    >>> lower = Guide(bearing=Bearing(type="deep_groove_ball"), carries="up", end_play_um=0.0)
    >>> mount = mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(), guides=(lower,)))
    >>> holding_guides(mount, "up"), holding_guides(mount, "down")
    (('g1',), ())
    """
    return tuple(ref for ref, guide in mount.guides_carrying(direction) if not guide.end_play_um)


def _sprung_and_held(mount: Mount, direction: Direction | None) -> tuple[RefBearing, tuple[str, ...]] | None:
    """The lone thrust roller bearing on springs that guides without end play hold, and those guides."""
    if not mount.guides:
        return None
    order: tuple[Direction, Direction] = ("up", "down") if direction == "up" else ("down", "up")
    for way in order:
        carriers = mount.carriers(way)
        if len(carriers) != 1 or mount.both_ways:
            continue
        ref, one = carriers[0]
        if one.type != "spherical_roller_thrust" or not one.on_springs:
            continue
        holders = holding_guides(mount, opposite(way))
        if holders:
            return (ref, one), holders
    return None


FACE_UNKNOWN: Final = "face-unknown"


def direction_of(net_n: float) -> Direction | None:
    """Return the way a net load in N acts; None for no load.

    >>> direction_of(32_200.0), direction_of(-1_800.0), direction_of(0.0)
    ('down', 'up', None)
    """
    if net_n == 0:
        return None
    return "down" if net_n > 0 else "up"


def _share(mount: Mount, sharing: Sharing, net_n: float, loads: Loads) -> str | None:
    """Fill in what every bearing carries of a net load; return the reason where that is not known."""
    direction = direction_of(net_n)
    held = _sprung_and_held(mount, direction)
    if held is not None:
        return _share_with_springs(held, net_n, loads)
    carriers = mount.one_way if direction is None else mount.carriers(direction)
    if carriers:
        return _share_one_way(mount, sharing, carriers, net_n, loads)
    if direction is not None:
        takers = [ref for ref, _ in (*mount.both_ways, *mount.guides_carrying(direction))]
        for ref in takers:
            loads[ref] = abs(net_n) / len(takers)
    return None


def _share_with_springs(held: tuple[RefBearing, tuple[str, ...]], net_n: float, loads: Loads) -> str | None:
    (ref, one), holders = held
    thrust = net_n if one.wide_face == "down" else -net_n
    if one.spring_force_n is None:
        for name in (ref, *holders):
            loads[name] = None
        return "spring-force-unknown"
    carried = max(thrust, one.spring_force_n)
    loads[ref] = carried
    for name in holders:
        loads[name] = (carried - thrust) / len(holders)
    return None


def _preloads_a_roller(mount: Mount) -> bool:
    """Whether preloaded ball bearings stand with a thrust roller bearing, whose stiffness is not known."""
    rollers = any(one.type == "spherical_roller_thrust" for _, one in mount.one_way)
    return rollers and any(
        one.type == "angular_contact_ball"
        and (one.pair_preload_n or 0.0) + max(one.stand_out_um or 0.0, 0.0) > 0
        for _, one in mount.one_way
    )


def _share_one_way(
    mount: Mount, sharing: Sharing, carriers: tuple[RefBearing, ...], net_n: float, loads: Loads
) -> str | None:
    reason: str | None = None
    balls_carry = mount.balls_alone or all(one.type == "angular_contact_ball" for _, one in carriers)
    if net_n != 0 and mount.both_ways:
        reason = "deep-groove-beside-one-way"
    elif not mount.balls_alone and _preloads_a_roller(mount):
        reason = "preload-against-thrust-roller"
    elif net_n == 0 or balls_carry:
        reason = sharing.not_shared
        if reason is None:
            forces = shared_forces(sharing.contacts, net_n)
            for contact, force in zip(sharing.contacts, forces, strict=True):
                loads[contact.ref] = force
    elif len(carriers) == 1:
        loads[carriers[0][0]] = abs(net_n)
    else:
        reason = "thrust-roller-beside-one-way"
    if reason is not None:
        for ref, one in mount.bearings:
            if one.type != "cylindrical_roller":
                loads[ref] = None
    return reason


def case_loads(mount: Mount, sharing: Sharing, name: CaseName, net_n: float) -> CaseLoads:
    """Return what every bearing of the stack and every guide carries in one case, in N.

    Source: static balance; between angular contact bearings Palmgren (from memory, unverified).

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import Bearing, Stack
    >>> one = Bearing(type="spherical_roller_thrust", wide_face="down")
    >>> mount = mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(one,)))
    >>> case_loads(mount, sharing_of(mount), "running", 32_200.0).axial_n("1")
    32200.0
    """
    direction = direction_of(net_n)
    loads: Loads = {ref: 0.0 for ref, _ in mount.bearings}
    if mount.guides:
        loads |= {ref: 0.0 for ref, _ in mount.guides}
    carried = direction is None or mount.carried(direction) or bool(mount.unfaced)
    reason = None
    if mount.unfaced:
        # Nobody knows what a bearing carries that may look either way, nor what it leaves to the others.
        loads, reason = dict.fromkeys(loads), FACE_UNKNOWN
    elif carried:
        reason = _share(mount, sharing, net_n, loads)
    rows = tuple(
        [
            BearingLoad(ref, load := loads[ref], None if load is None else load < UNLOADED_BELOW_N)
            for ref, _ in mount.bearings
        ]
    )
    guides = tuple([GuideLoad(ref, loads[ref]) for ref, _ in mount.guides])
    loaded = {ref: load for ref, load in loads.items() if load is not None and load >= UNLOADED_BELOW_N}
    count = sum([row.unloaded is False for row in rows])
    return CaseLoads(name, net_n, carried, rows, guides, reason, loaded, count)


def unloading_thrust(mount: Mount, sharing: Sharing) -> tuple[float | None, str | None]:
    """Return the net down thrust in N that unloads the first bearing carrying up, or why it is not known.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import Bearing, Stack
    >>> pair = tuple(Bearing(type="angular_contact_ball", wide_face=way) for way in ("down", "up"))
    >>> mount = mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=pair))
    >>> unloading_thrust(mount, sharing_of(mount))  # no preload: unloaded from the beginning
    (0.0, None)
    """
    if not mount.opposed:
        return None, None
    at_rest = case_loads(mount, sharing, "uncoupled", 0.0)
    up = {ref for ref, _ in mount.up}
    if at_rest.not_shared is not None:
        return None, at_rest.not_shared
    if any(row.unloaded for row in at_rest.bearings if row.ref in up):
        return 0.0, None
    if mount.both_ways:
        return None, "deep-groove-beside-one-way"
    if any(one.type != "angular_contact_ball" for _, one in mount.one_way):
        return None, "thrust-roller-beside-one-way"
    return freeing_thrust(sharing.contacts), None


def loads_without_preload(mount: Mount, name: CaseName, net_n: float) -> CaseLoads:
    """Return what every bearing carries in a case with all preload taken off, in N.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import Bearing, Stack
    >>> one = Bearing(type="angular_contact_ball", wide_face="down", pair_preload_n=1_500.0)
    >>> mount = mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(one,)))
    >>> round(loads_without_preload(mount, "running", 32_200.0).axial_n("1"), 3)
    32200.0
    """
    return case_loads(mount, sharing_of(mount, preloaded=False), name, net_n)
