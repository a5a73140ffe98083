"""Capacity: static safety of every loaded bearing in every case, cold and warm (ISO 76)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf
from typing import Final, NamedTuple

from bearings.engineering.evidence import Evidence
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Bearing, Policy
from bearings.engineering.results import CaseLoads, CaseName, Finding, WorkingLine, params
from bearings.engineering.sharing import EQUAL_SOURCE, PALMGREN_SOURCE
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import (
    LOAD_FIELDS,
    SHOP_POLICY,
    Look,
    Subject,
    reader,
    without_loads,
)
from bearings.engineering.tables import equivalent_load as loads_table
from bearings.engineering.tables.equivalent_load import (
    SPHERICAL_THRUST_RADIAL_LIMIT,
    SPHERICAL_THRUST_SOURCE,
)

# Thrust that a deep groove bearing bears by itself over its static rating; small and light ones bear half of that.
GROOVE_THRUST_SHARE = 0.5
GROOVE_THRUST_SOURCE = "handbook rule for pure thrust, 0.5 C0 (from memory, unverified)"


def minimum_static_safety(bearing: Bearing, policy: Policy) -> float | None:
    """Return the shop's minimum static safety for a type; None where it has none."""
    if bearing.type == "spherical_roller_thrust":
        return policy.minimum_static_safety_spherical_roller_thrust
    if bearing.type == "cylindrical_roller":
        return None
    return policy.minimum_static_safety_ball


class _State(NamedTuple):
    """Loads of one case or part of the duty, cold or warm, with P0 of each loaded bearing."""

    case: CaseName
    part: int | None
    warm: bool
    loads: CaseLoads
    static_n: dict[str, float | None]


def _states(situation: Situation) -> list[_State]:
    found = [
        _State(case.name, None, warm, loads, situation.static_loads(loads))
        for case in situation.judged_cases
        for warm, loads in case.states
    ]
    return found + [
        _State("running", part, warm, loads, situation.static_loads(loads))
        for part, warm, loads in situation.duty_loads
    ]


def _static_safety(
    situation: Situation, ref: str, states: list[_State]
) -> tuple[Finding | None, float, list[Missing]]:
    """Return the stop of one bearing where it is loaded most, its margin over the minimum, and what is missing."""
    one = situation.bearing[ref]
    minimum = minimum_static_safety(one, situation.stack.policy)
    worst: Finding | None = None
    margin = inf
    missing: list[Missing] = []
    if minimum is None:
        return worst, margin, missing
    for state in states:
        if ref not in state.static_n:
            continue
        load = state.static_n[ref]
        if load is None:
            missing.append(Missing("contact_angle_deg", ref))
        if one.static_rating_n is None:
            missing.append(Missing("static_rating_n", ref))
        if load is None or one.static_rating_n is None:
            continue
        safety = one.static_rating_n / load
        ratio = inf if minimum <= 0 else safety / minimum
        if ratio >= margin:
            continue
        margin = ratio
        if safety < minimum:
            worst = _too_small(situation, ref, state, safety, load)
    return worst, margin, missing


def _too_small(situation: Situation, ref: str, state: _State, safety: float, load_n: float) -> Finding:
    return Finding(
        code="static-safety",
        severity="stop",
        ref=ref,
        value=safety,
        limit=minimum_static_safety(situation.bearing[ref], situation.stack.policy),
        unit="1",
        source=f"ISO 76:2006; {SHOP_POLICY}",
        params=params(case=state.case, part=state.part, load_n=load_n, warm=state.warm),
    )


def _radial_on_thrust_roller(situation: Situation) -> Iterator[Finding]:
    """Stop when a spherical roller thrust bearing takes more radial load than its axial load allows."""
    for ref, one in situation.bearing.items():
        if one.type != "spherical_roller_thrust":
            continue
        worst: Finding | None = None
        for case in situation.judged_cases:
            axial, radial = case.cold.loaded.get(ref), situation.radial_of(case.cold, ref)
            if case.name not in ("running", "maximum") or axial is None or radial is None:
                continue
            limit = SPHERICAL_THRUST_RADIAL_LIMIT * axial
            if radial <= limit or (
                worst is not None and radial / limit <= (worst.value or 0) / (worst.limit or 1)
            ):
                continue
            worst = Finding(
                code="radial-load-on-thrust-roller",
                severity="stop",
                ref=ref,
                value=radial,
                limit=limit,
                unit="N",
                source=SPHERICAL_THRUST_SOURCE,
                params=params(case=case.name, axial_n=axial),
            )
        if worst is not None:
            yield worst


def _groove_thrust_limit(situation: Situation) -> Iterator[Finding]:
    """Warn of a deep groove bearing whose thrust in a case is more than half of its static rating."""
    for ref, one in situation.bearing.items():
        if one.type != "deep_groove_ball" or one.static_rating_n is None:
            continue
        limit = GROOVE_THRUST_SHARE * one.static_rating_n
        loads = [
            (case.cold.loaded[ref], case.name) for case in situation.judged_cases if ref in case.cold.loaded
        ]
        axial, name = max(loads, default=(0.0, None))
        if axial > limit:
            yield Finding(
                code="groove-thrust-limit",
                severity="warn",
                ref=ref,
                value=axial,
                limit=limit,
                unit="N",
                source=GROOVE_THRUST_SOURCE,
                params=params(case=name),
            )


def _worst_of(stops: list[Finding]) -> list[Finding]:
    """Return one stop for all bearings that have too little static safety, with the figures of the worst."""
    if not stops:
        return []
    worst = min(stops, key=lambda one: (one.value or 0.0) / (one.limit or 1.0))
    refs = (worst.ref, *(one.ref for one in stops if one is not worst))
    return [replace(worst, refs=tuple(ref for ref in refs if ref is not None))]


def _look(situation: Situation) -> Look:
    gaps = situation.load_gaps or situation.sharing_gaps
    if gaps:
        return Look(missing=gaps)
    stops: list[Finding] = []
    missing = list(situation.drive_gaps)
    margin = inf
    states = _states(situation)
    for ref in situation.bearing:
        stop, own, lacking = _static_safety(situation, ref, states)
        stops += [] if stop is None else [stop]
        missing += lacking
        margin = min(margin, own)
    findings = (
        *_worst_of(stops),
        *_radial_on_thrust_roller(situation),
        *_groove_thrust_limit(situation),
    )
    return Look(findings, tuple(dict.fromkeys(missing)), margin)


BALANCE: Final = "static balance"


_NETS: Final = {
    "running": "P = down thrust + W",
    "uncoupled": "P = W",
    "up_thrust": "P = W - up thrust",
    "maximum": "P = maximum down thrust + W",
}


def _loads(evidence: Evidence) -> Iterator[WorkingLine]:
    source = EQUAL_SOURCE if evidence.sharing.equal_stiffness else PALMGREN_SOURCE
    for contact in evidence.sharing.contacts:
        if not evidence.sharing.equal_stiffness:
            yield WorkingLine(
                "sharing", contact.ref, "K", "F = K d^1.5", contact.stiffness, "N/mm^1.5", source
            )
            yield WorkingLine(
                "sharing",
                contact.ref,
                "o",
                "o = d(pair preload) + stand-out",
                contact.overlap * 1000,
                "um",
                source,
            )
    for case in evidence.cases:
        yield WorkingLine("cases", None, f"P {case.name}", _NETS[case.name], case.net_axial_n, "N", BALANCE)
        for ref, load in case.axial_loads():
            yield WorkingLine("cases", ref, f"Fa {case.name}", "sum(s F) = P", load, "N", source)
    if evidence.unloading_thrust_n is not None:
        formula = "P at which the first upward bearing has d = 0"
        yield WorkingLine("cases", None, "P*", formula, evidence.unloading_thrust_n, "N", source)


_STATIC_FORMULAS: Final = {
    "angular_contact_ball": "P0 = max(Fr, 0.5 Fr + Y0 Fa)",
    "deep_groove_ball": "P0 = max(Fr, 0.6 Fr + 0.5 Fa)",
    "spherical_roller_thrust": "P0 = Fa + 2.7 Fr",
    "cylindrical_roller": "-",
}


def _static_source(one: Bearing) -> str:
    if one.type == "spherical_roller_thrust":
        return loads_table.SPHERICAL_THRUST_STATIC_SOURCE
    angle = one.contact_angle_deg
    if one.type == "angular_contact_ball" and angle not in loads_table.CONFIRMED_Y0_ANGLES_DEG:
        return loads_table.Y0_FROM_MEMORY_SOURCE
    return loads_table.STATIC_SOURCE


def _static(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.static:
        formula = _STATIC_FORMULAS[evidence.bearing[row.ref].type]
        source = _static_source(evidence.bearing[row.ref])
        load = row.equivalent_static_load_n
        yield WorkingLine("static", row.ref, f"P0 {row.case}", formula, load, "N", source)
        yield WorkingLine("static", row.ref, "S0", "S0 = C0 / P0", row.safety, "1", source)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    yield from _loads(evidence)
    yield from _static(evidence)


SUBJECT = Subject(
    name="capacity",
    decides=True,
    codes=("static-safety", "radial-load-on-thrust-roller", "groove-thrust-limit"),
    reads=reader(*LOAD_FIELDS, "radial_load_n"),
    applies=lambda _situation: True,
    look=_look,
    narrowed=without_loads,
    working=_working,
    limits=frozenset({"minimum_static_safety_ball", "minimum_static_safety_spherical_roller_thrust"}),
)
