"""Directions: is there something that carries thrust each way, and is it meant to?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from bearings.engineering.arrangement import DIRECTIONS
from bearings.engineering.duty import net_thrusts
from bearings.engineering.load_gaps import Missing
from bearings.engineering.loads import axial_weight, direction_of, holding_guides
from bearings.engineering.quantities import Direction
from bearings.engineering.results import Finding, params
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import (
    DRIVE_FIELDS,
    NO_FIELD,
    NO_LIMIT,
    STATICS,
    THRUST_FIELDS,
    Look,
    Subject,
    reader,
)


def could_carry(situation: Situation, direction: Direction) -> bool:
    """Whether anything carries a direction, a bearing whose face is not known counted in."""
    return situation.mount.carried(direction) or bool(situation.unfaced)


def _down_thrust_not_carried(situation: Situation) -> Iterator[Finding]:
    """Stop when a vertical shaft, or any net down thrust, has nothing to carry it."""
    if could_carry(situation, "down"):
        return
    failing = [case for case in situation.case_nets if case.net_axial_n > 0]
    if situation.stack.motor.mounting != "vertical" and not failing:
        return
    worst = max(failing, key=lambda case: case.net_axial_n, default=None)
    yield Finding(
        code="down-thrust-not-carried",
        severity="stop",
        value=worst.net_axial_n if worst else None,
        unit="N" if worst else None,
        source=STATICS,
        params=params(case=worst.name if worst else None, mounting=situation.stack.motor.mounting),
    )


def _up_thrust_not_carried(situation: Situation) -> Iterator[Finding]:
    """Stop when net up thrust has nothing to carry it; warn while the rotor weight is unknown."""
    if could_carry(situation, "up"):
        return
    motor = situation.stack.motor
    failing = [case for case in situation.case_nets if case.net_axial_n < 0]
    worst = min(failing, key=lambda case: case.net_axial_n, default=None)
    if worst is None and (not motor.up_thrust_n or axial_weight(motor) is not None):
        return
    yield Finding(
        code="up-thrust-not-carried",
        severity="stop" if worst else "warn",
        value=-worst.net_axial_n if worst else motor.up_thrust_n,
        unit="N",
        source=STATICS,
        params=params(case=worst.name if worst else None),
    )


def running_way(situation: Situation) -> Direction | None:
    """Return the way of the running thrust: down on a vertical motor unless the net thrust is known to act up."""
    running = situation.running_net_n
    if running is not None:
        return direction_of(running)
    return "down" if situation.stack.motor.mounting == "vertical" else None


def _thrust_on_guide(situation: Situation) -> Iterator[Finding]:
    """Stop when a guide or deep groove bearing takes the running thrust though there are one-way bearings."""
    way = running_way(situation)
    mount = situation.mount
    if way is None or situation.unfaced or not mount.one_way or mount.carriers(way):
        return
    takers = tuple(ref for ref, _ in (*mount.both_ways, *mount.guides_carrying(way)))
    if not takers:
        return
    running = situation.running_net_n
    yield Finding(
        code="thrust-on-guide",
        severity="stop",
        ref=takers[0],
        refs=takers,
        value=None if running is None else abs(running),
        unit=None if running is None else "N",
        source=STATICS,
        params=params(way=way, bearings=tuple(ref for ref, _ in mount.one_way)),
    )


def _washers_part(situation: Situation) -> Iterator[Finding]:
    """Stop when net up thrust lifts a spherical roller thrust bearing that nothing holds together."""
    lifting = min(situation.case_nets, key=lambda case: case.net_axial_n, default=None)
    if lifting is None or lifting.net_axial_n >= 0 or holding_guides(situation.mount, "up"):
        return
    for ref, one in situation.mount.down:
        if one.type != "spherical_roller_thrust" or one.on_springs:
            continue
        yield Finding(
            code="washers-part",
            severity="stop",
            ref=ref,
            value=-lifting.net_axial_n,
            limit=0.0,
            unit="N",
            source=STATICS,
            params=params(case=lifting.name),
        )


def _duty_not_carried(situation: Situation) -> Iterator[Finding]:
    """Stop for every part of the duty whose net thrust nothing carries, however short it is."""
    for number, net in net_thrusts(situation.stack):
        way = direction_of(net)
        if way is None or could_carry(situation, way):
            continue
        yield Finding(
            code="duty-not-carried",
            severity="stop",
            value=abs(net),
            limit=0.0,
            unit="N",
            source=STATICS,
            params=params(part=number, way=way),
        )


def _guide_without_thrust(situation: Situation) -> Iterator[Finding]:
    """Stop for a guide that is said to carry what its kind cannot; note guides that leave up thrust unheld."""
    mount = situation.mount
    for ref, guide in mount.guides:
        if guide.bearing.is_one_way and guide.bearing.wide_face is None:
            continue
        able = guide.bearing.carries
        claimed = [way for way in DIRECTIONS if guide.carries in (way, "both")]
        wrong = tuple(way for way in claimed if able not in (way, "both"))
        if wrong:
            yield Finding(
                code="guide-without-thrust",
                severity="stop",
                ref=ref,
                source=STATICS,
                params=params(type=guide.bearing.type, ways=wrong),
            )
    thrust_rollers = [ref for ref, one in mount.bearings if one.type == "spherical_roller_thrust"]
    radial = tuple(ref for ref, guide in mount.guides if guide.bearing.type == "cylindrical_roller")
    if thrust_rollers and radial and not mount.carried("up"):
        yield Finding(
            code="guide-without-thrust",
            severity="note",
            ref=radial[0],
            source=STATICS,
            params=params(type="cylindrical_roller", refs=radial, bearing=thrust_rollers[0]),
        )


def _missing(situation: Situation) -> tuple[Missing, ...]:
    """Return faces, the thrust of a horizontal shaft, and what tells whether net up thrust can occur."""
    motor, gaps = situation.stack.motor, list(situation.face_gaps)
    gaps += [
        Missing("wide_face", ref)
        for ref, guide in situation.mount.guides
        if guide.bearing.is_one_way and guide.bearing.wide_face is None and guide.carries != "none"
    ]
    horizontal = motor.mounting == "horizontal"
    if motor.down_thrust_n is None:
        uncarried = not situation.mount.carried("up") and motor.up_thrust_n is None
        if horizontal or uncarried or _lifting_is_open(situation):
            gaps.append(Missing("motor.down_thrust_n"))
    elif motor.down_thrust_n < 0 and not horizontal and _lifting_stops(situation):
        # Up thrust that grows with a drive's speed may lift a rotor that it does not lift at rated speed.
        gaps += situation.drive_gaps
    return tuple(gaps)


def _lifting_is_open(situation: Situation) -> bool:
    """Whether net up thrust would stop the stack and its size rests on fields that are not known."""
    motor = situation.stack.motor
    if motor.rotor_weight_n is not None and motor.up_thrust_n is not None:
        return False
    return _lifting_stops(situation)


def _lifting_stops(situation: Situation) -> bool:
    """Whether net up thrust would stop the stack."""
    mount = situation.mount
    rollers = any(one.type == "spherical_roller_thrust" and not one.on_springs for _, one in mount.down)
    return not mount.carried("up") or (rollers and not holding_guides(mount, "up"))


def _margin(situation: Situation) -> float:
    """Return the least net thrust (down positive): what lifts most is worst."""
    return min((case.net_axial_n for case in situation.case_nets), default=inf)


def _look(situation: Situation) -> Look:
    findings = (
        *_down_thrust_not_carried(situation),
        *_up_thrust_not_carried(situation),
        *_thrust_on_guide(situation),
        *_washers_part(situation),
        *_duty_not_carried(situation),
        *_guide_without_thrust(situation),
    )
    return Look(findings, _missing(situation), _margin(situation))


def _narrowed(situation: Situation) -> frozenset[str] | None:
    """Return that no thrust changes the answer where one-way bearings carry both ways and none can be lifted apart."""
    mount = situation.mount
    lifted = any(one.type == "spherical_roller_thrust" and not one.on_springs for _, one in mount.down)
    return NO_FIELD if mount.opposed and not lifted else None


SUBJECT = Subject(
    name="directions",
    decides=True,
    codes=(
        "down-thrust-not-carried",
        "up-thrust-not-carried",
        "thrust-on-guide",
        "washers-part",
        "duty-not-carried",
        "guide-without-thrust",
    ),
    reads=reader(*THRUST_FIELDS, *DRIVE_FIELDS, "end_play_um"),
    applies=lambda _situation: True,
    look=_look,
    narrowed=_narrowed,
    limits=NO_LIMIT,
)
