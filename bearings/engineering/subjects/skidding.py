"""Skidding: is every bearing that turns pressed enough for its balls or rollers to roll?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from bearings.engineering.evidence import radial_share
from bearings.engineering.least_load import (
    ESTIMATE_SOURCE,
    MAKER_SOURCE,
    ROLLER_ESTIMATE_SOURCE,
    LeastLoad,
    SkiddingRow,
    least_load,
)
from bearings.engineering.load_cases import JudgedCase
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Severity
from bearings.engineering.ranges import ROTOR_WEIGHT_SHARE, UP_THRUST_SHARE
from bearings.engineering.results import UNLOADED_BELOW_N, CaseLoads, Finding, params
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import (
    COMMON_PRACTICE,
    DUTY_FIELDS,
    LOAD_FIELDS,
    Look,
    Subject,
    reader,
    without_loads,
)


def _least(situation: Situation, radial_n: float, ref: str) -> LeastLoad | None:
    maker = situation.entered_bearing[ref].minimum_load_factor_n
    return least_load(situation.bearing[ref], radial_n, maker)


def _radial(situation: Situation, loads: CaseLoads) -> float:
    """Return the radial load of every loaded bearing of the stack in a case."""
    return radial_share(loads, situation.stack.motor.radial_load_n) or 0.0


def _carrying(situation: Situation, loads: CaseLoads) -> list[tuple[str, float]]:
    """Return ref and axial load of the bearings on the side that carries the thrust of a case."""
    mount = situation.mount
    refs = {ref for ref, _ in (mount.up if loads.net_axial_n < 0 else mount.down)}
    return [(row.ref, row.axial_n) for row in loads.bearings if row.ref in refs and row.axial_n is not None]


def skidding_rows(situation: Situation, case: JudgedCase, loads: CaseLoads) -> list[SkiddingRow]:
    """Return a row for every bearing on the carrying side whose least load is known or estimated."""
    return situation.skidding_rows(loads, case.speed_rpm, lambda: _rows(situation, case, loads))


def _rows(situation: Situation, case: JudgedCase, loads: CaseLoads) -> list[SkiddingRow]:
    rows: list[SkiddingRow] = []
    radial, speed = _radial(situation, loads), case.speed_rpm
    if speed is None:
        return rows
    for ref, axial in _carrying(situation, loads):
        least = _least(situation, radial, ref)
        if least is not None:
            minimum = least.at(speed)
            run = least.enough_at_rpm(axial, speed)
            rows.append(SkiddingRow(ref, axial, minimum, least.basis, axial >= minimum, run))
    return rows


def _severity(situation: Situation, case: JudgedCase, row: SkiddingRow) -> Severity | None:
    """Return how a load that is too low is judged: warned of for long, noted for a short run without the pump."""
    if row.enough:
        return None
    one = situation.bearing[row.ref]
    roller = one.type == "spherical_roller_thrust"
    if case.continuous:
        return "warn"
    if case.name != "uncoupled":
        return None
    return "warn" if roller and not one.on_springs else "note"


class _Short(NamedTuple):
    """A bearing with too little load in a case, cold or warm."""

    case: JudgedCase
    warm: bool
    severity: Severity
    row: SkiddingRow


class _State(NamedTuple):
    """A case cold or warm with a row for every bearing on the carrying side."""

    case: JudgedCase
    warm: bool
    loads: CaseLoads
    rows: list[SkiddingRow]


def _states(situation: Situation) -> list[_State]:
    return [
        _State(case, warm, loads, skidding_rows(situation, case, loads))
        for case in situation.judged_cases
        for warm, loads in case.states
    ]


def _short(situation: Situation, states: list[_State]) -> list[_Short]:
    found = []
    for case, warm, loads, rows in states:
        if not loads.carried or loads.not_shared is not None:
            continue
        for row in rows:
            severity = _severity(situation, case, row)
            if severity is not None:
                found.append(_Short(case, warm, severity, row))
    return found


def _minimum_load(situation: Situation, states: list[_State]) -> Iterator[Finding]:
    """Warn of too little load in a continuous case, note it for a run uncoupled: once for a severity and case."""
    groups: dict[tuple[str, str], list[_Short]] = {}
    for one in _short(situation, states):
        groups.setdefault((one.severity, one.case.name), []).append(one)
    for (_severity_of, name), rows in groups.items():
        worst = max(rows, key=lambda one: one.row.minimum_n - one.row.axial_n)
        refs = tuple(dict.fromkeys(one.row.ref for one in rows))
        roller = situation.bearing[worst.row.ref].type == "spherical_roller_thrust"
        estimate = ROLLER_ESTIMATE_SOURCE if roller else ESTIMATE_SOURCE
        yield Finding(
            code="minimum-load",
            severity=worst.severity,
            ref=worst.row.ref,
            refs=(worst.row.ref, *(ref for ref in refs if ref != worst.row.ref)),
            value=worst.row.axial_n,
            limit=worst.row.minimum_n,
            unit="N",
            source=MAKER_SOURCE if worst.row.basis == "maker" else estimate,
            params=params(
                case=name,
                speed_rpm=worst.case.speed_rpm,
                basis=worst.row.basis,
                warm=worst.warm,
                test_run_rpm=worst.row.test_run_rpm if name == "uncoupled" else None,
            ),
        )


def _roller_without_load(situation: Situation, states: list[_State]) -> Iterator[Finding]:
    """Warn of a thrust roller bearing at no load in a continuous case, whatever is known of what it needs."""
    if not any(one.type == "spherical_roller_thrust" for _, one in situation.mount.bearings):
        return
    for case, warm, _loads, rows in states:
        if warm or not case.continuous or case.cold.not_shared is not None:
            continue
        judged = {row.ref for row in rows}
        idle = tuple(
            row.ref
            for row in case.cold.bearings
            if row.axial_n is not None
            and row.axial_n < UNLOADED_BELOW_N
            and situation.bearing[row.ref].type == "spherical_roller_thrust"
            and row.ref not in judged
        )
        if idle:
            yield Finding(
                code="minimum-load",
                severity="warn",
                ref=idle[0],
                refs=idle,
                value=0.0,
                unit="N",
                source=COMMON_PRACTICE,
                params=params(case=case.name, speed_rpm=case.speed_rpm),
            )


def _unloaded_in_running(situation: Situation) -> Iterator[Finding]:
    """Note an opposed angular contact bearing that idles in a continuous case; warn above the shop's n dm."""
    if not situation.mount.opposed:
        return
    limit = situation.stack.policy.unloaded_warn_ndm
    worst: tuple[float, str, JudgedCase, bool, float] | None = None
    refs: dict[str, dict[str, None]] = {}
    for case in situation.judged_cases:
        speed = case.speed_rpm
        if not case.continuous or speed is None:
            continue
        for warm, loads in case.states:
            carrying = {ref for ref, _ in _carrying(situation, loads)}
            for row in loads.bearings:
                one = situation.bearing[row.ref]
                if one.type != "angular_contact_ball" or one.on_springs or not row.unloaded:
                    continue
                if row.ref in carrying or not loads.carried:
                    continue
                refs.setdefault(case.name, {})[row.ref] = None
                ndm = speed * (one.pitch_mm or 0.0)
                if worst is None or ndm > worst[0]:
                    worst = ndm, row.ref, case, warm, row.axial_n or 0.0
    if worst is None:
        return
    ndm, ref, case, warm, axial = worst
    yield Finding(
        code="unloaded-in-running",
        severity="warn" if ndm > limit else "note",
        ref=ref,
        refs=(ref, *(one for one in refs[case.name] if one != ref)),
        value=ndm,
        limit=limit,
        unit="mm/min",
        source=COMMON_PRACTICE,
        params=params(
            axial_n=axial,
            net_axial_n=case.net_axial_n,
            unloading_thrust_n=situation.unloading_thrust_warm_n if warm else situation.unloading_thrust_n,
            case=case.name,
            warm=warm,
        ),
    )


def _missing(situation: Situation, states: list[_State]) -> tuple[Missing, ...]:
    """Return what the least load of a carrying bearing lacks, and the size of one that idles."""
    gaps = list(situation.speed_gaps)
    for case, warm, loads, rows in states:
        if warm or not (case.continuous or case.name == "uncoupled"):
            continue
        known = {row.ref for row in rows}
        for ref, _ in _carrying(situation, loads):
            if ref not in known:
                one = situation.bearing[ref]
                names = ("static_rating_n", "bore_mm", "outside_diameter_mm")
                gaps += [Missing(name, ref) for name in names if getattr(one, name) is None]
    return tuple(dict.fromkeys(gaps))


def _may_balance(situation: Situation) -> bool:
    """Whether a lasting up thrust may balance the rotor's weight somewhere inside their ranges.

    Both ends of a range may press the bearings enough, one way and the other, and its inside not at all.
    """
    entered, motor = situation.entered.motor, situation.stack.motor
    thrust = abs(motor.down_thrust_n or 0.0)
    if motor.up_thrust_duty != "continuous" or motor.mounting != "vertical":
        return False
    if entered.rotor_weight_n is not None and entered.up_thrust_n is not None:
        return False
    known = entered.rotor_weight_n
    weights = (
        (thrust * ROTOR_WEIGHT_SHARE[0], thrust * ROTOR_WEIGHT_SHARE[1]) if known is None else (known, known)
    )
    known = entered.up_thrust_n
    ups = (thrust * UP_THRUST_SHARE[0], thrust * UP_THRUST_SHARE[1]) if known is None else (known, known)
    return weights[0] < ups[1] and weights[1] > ups[0]


def _look(situation: Situation) -> Look:
    gaps = situation.load_gaps or situation.sharing_gaps
    if gaps:
        return Look(missing=gaps)
    states = _states(situation)
    findings = (
        *_minimum_load(situation, states),
        *_roller_without_load(situation, states),
        *_unloaded_in_running(situation),
    )
    margin = min(
        [
            row.axial_n / row.minimum_n
            for state in states
            if state.case.continuous
            for row in state.rows
            if row.minimum_n > 0
        ],
        default=inf,
    )
    return Look(findings, _missing(situation, states), margin, _may_balance(situation))


SUBJECT = Subject(
    name="skidding",
    decides=True,
    codes=("minimum-load", "unloaded-in-running"),
    reads=reader(*LOAD_FIELDS, *DUTY_FIELDS, "minimum_load_factor_n"),
    applies=lambda situation: bool(situation.mount.one_way) or bool(situation.unfaced),
    look=_look,
    one_way={"minimum_load_factor_n": False},
    narrowed=without_loads,
    limits=frozenset({"unloaded_warn_ndm"}),
)
