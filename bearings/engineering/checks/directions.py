"""Checks of direction: what carries thrust each way, whatever is known of the magnitudes."""

from __future__ import annotations

from collections.abc import Iterator

from bearings.engineering.arrangement import direction_changes
from bearings.engineering.checks.registry import COMMON_PRACTICE, STATICS, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.loads import axial_weight, holding_guides
from bearings.engineering.results import Finding, params


@check("down-thrust-not-carried")
def down_thrust_not_carried(evidence: Evidence) -> Iterator[Finding]:
    """Stop when a vertical shaft, or any net down thrust, has nothing to carry it."""
    if evidence.mount.carried("down"):
        return
    failing = [case for case in evidence.cases if case.net_axial_n > 0]
    if evidence.stack.motor.mounting != "vertical" and not failing:
        return
    worst = max(failing, key=lambda case: case.net_axial_n, default=None)
    yield Finding(
        code="down-thrust-not-carried",
        severity="stop",
        value=worst.net_axial_n if worst else None,
        unit="N" if worst else None,
        source=STATICS,
        params=params(case=worst.name if worst else None, mounting=evidence.stack.motor.mounting),
    )


@check("up-thrust-not-carried")
def up_thrust_not_carried(evidence: Evidence) -> Iterator[Finding]:
    """Stop when net up thrust has nothing to carry it; warn while the rotor weight is unknown."""
    if evidence.mount.carried("up"):
        return
    motor = evidence.stack.motor
    weight = axial_weight(motor)
    failing = [case for case in evidence.cases if case.net_axial_n < 0]
    worst = min(failing, key=lambda case: case.net_axial_n, default=None)
    if worst is None and (not motor.up_thrust_n or weight is not None):
        return
    yield Finding(
        code="up-thrust-not-carried",
        severity="stop" if worst else "warn",
        value=-worst.net_axial_n if worst else motor.up_thrust_n,
        unit="N",
        source=STATICS,
        params=params(case=worst.name if worst else None),
    )


@check("washers-part")
def washers_part(evidence: Evidence) -> Iterator[Finding]:
    """Stop when net up thrust lifts a spherical roller thrust bearing that nothing holds together."""
    lifting = min(evidence.cases, key=lambda case: case.net_axial_n, default=None)
    if lifting is None or lifting.net_axial_n >= 0 or holding_guides(evidence.mount, "up"):
        return
    for ref, one in evidence.mount.down:
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


@check("not-a-matched-arrangement")
def not_a_matched_arrangement(evidence: Evidence) -> Iterator[Finding]:
    """Warn when the direction changes more than once from top to bottom."""
    changes = direction_changes(evidence.mount)
    if changes > 1:
        yield Finding(
            code="not-a-matched-arrangement",
            severity="warn",
            value=float(changes),
            limit=1.0,
            unit="1",
            source=COMMON_PRACTICE,
            params=params(relations=evidence.arrangement.relations),
        )


@check("no-radial-guide")
def no_radial_guide(evidence: Evidence) -> Iterator[Finding]:
    """Warn when spherical roller thrust bearings stand without anything that guides the shaft."""
    thrust_only = [ref for ref, one in evidence.mount.bearings if one.type == "spherical_roller_thrust"]
    guiding = any(one.type != "spherical_roller_thrust" for one in evidence.bearing.values())
    if thrust_only and not guiding:
        yield Finding(
            code="no-radial-guide",
            severity="warn",
            ref=thrust_only[0],
            source=COMMON_PRACTICE,
            params=params(refs=tuple(thrust_only)),
        )
