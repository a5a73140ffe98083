"""Life: basic and modified, cold and warm, in every continuous case or over the duty (ISO 281)."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final, NamedTuple

from bearings.engineering.duty import SOURCE as DUTY_SOURCE
from bearings.engineering.duty import DutyResult, duty_of
from bearings.engineering.evidence import Evidence
from bearings.engineering.load_cases import JudgedCase
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import ROLLER_TYPES, Bearing, Severity
from bearings.engineering.rating import dynamic_factors, fatigue_load_limit
from bearings.engineering.results import CaseLoads, Finding, LifeRow, WorkingLine, params
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.lubrication import annex_source
from bearings.engineering.subjects.subject import (
    DUTY_FIELDS,
    INPUT,
    LOAD_FIELDS,
    SHOP_POLICY,
    Look,
    Subject,
    reader,
    without_loads,
)
from bearings.engineering.tables import equivalent_load as loads_table
from bearings.engineering.tables import life_factors as life_table

SOURCE: Final = "ISO 281:2007"
# Beyond this share of C a bearing's load is at the edge of the life formula (ISO 281, from memory, unverified).
HIGH_LOAD_SHARE: Final = 0.5
SAME: Final = 1e-9


class _Life(NamedTuple):
    """One life that is judged: of which case, warm or cold, modified or basic."""

    case: JudgedCase
    warm: bool
    modified: bool
    hours: float


def wanted_life_h(situation: Situation) -> float:
    """Return the life in h below which is warned: what contract or customer asks for, else the shop's."""
    required = situation.stack.motor.required_l10h
    return situation.stack.policy.warn_l10h if required is None else required


def severity_of(situation: Situation, hours: float, *, may_stop: bool) -> Severity | None:
    """Return how a life is judged; None where it suffices."""
    if hours < situation.stack.policy.stop_l10h:
        return "stop" if may_stop else "warn"
    return "warn" if hours < wanted_life_h(situation) else None


def covered_by_duty(situation: Situation, case: JudgedCase) -> bool:
    """Whether the duty says how long the motor runs as in a case: parts at least as fast and as heavily loaded."""
    points = [point for point in situation.stack.motor.duty or () if point.share > 0]
    if not points:
        return False
    weight = situation.stack.motor.rotor_weight_n or 0.0
    weight = weight if situation.stack.motor.mounting == "vertical" else 0.0
    fastest = max(point.speed_rpm for point in points)
    nets = [weight + point.down_thrust_n for point in points]
    within = min(*nets, 0.0) - SAME <= case.net_axial_n <= max(*nets, 0.0) * (1 + SAME)
    return case.speed_rpm is not None and case.speed_rpm <= fastest * (1 + SAME) and within


def _lives(situation: Situation) -> tuple[list[_Life], bool]:
    """Return every life that is judged by itself, and whether one could not be computed."""
    found: list[_Life] = []
    ended = False
    for case in situation.judged_cases:
        if not case.continuous or covered_by_duty(situation, case):
            continue
        for warm, loads in case.states:
            life = situation.life_in(case, loads)
            if life is None:
                continue
            ended = ended or life.basic_h is None or life.modified_h is None
            for modified, hours in ((False, life.basic_h), (True, life.modified_h)):
                if hours is not None:
                    found.append(_Life(case, warm, modified, hours))
    return found, ended


def _worst(situation: Situation, lives: list[_Life]) -> tuple[_Life, Severity] | None:
    """Return the life with the gravest judgement, the shortest of those; None where all suffice."""
    judged = [
        (severity == "warn", life.hours, life, severity)
        for life in lives
        if (severity := severity_of(situation, life.hours, may_stop=life.case.may_stop)) is not None
    ]
    if not judged:
        return None
    _, _, life, severity = min(judged, key=lambda row: row[:2])
    return life, severity


def _finding(situation: Situation, code: str, life: _Life, severity: Severity) -> Finding:
    policy, required = situation.stack.policy, situation.stack.motor.required_l10h
    short = life.hours < policy.stop_l10h
    return Finding(
        code=code,
        severity=severity,
        value=life.hours,
        limit=policy.stop_l10h if short else wanted_life_h(situation),
        unit="h",
        source=f"{SOURCE}; " + (SHOP_POLICY if short or required is None else "life asked for"),
        params=params(
            required=required is not None,
            wanted_h=wanted_life_h(situation),
            case=life.case.name,
            speed_rpm=life.case.speed_rpm,
            modified=life.modified,
            warm=life.warm,
        ),
    )


def _case_findings(situation: Situation, lives: list[_Life]) -> Iterator[Finding]:
    for code, modified in (("life", False), ("life-modified", True)):
        cold = [life for life in lives if not life.warm and life.modified is modified]
        worst = _worst(situation, cold)
        if worst is not None:
            yield _finding(situation, code, *worst)
    short = {
        (id(life.case), life.modified)
        for life in lives
        if not life.warm and severity_of(situation, life.hours, may_stop=True) is not None
    }
    warm = [life for life in lives if life.warm and (id(life.case), life.modified) not in short]
    worst = _worst(situation, warm)
    if worst is not None:
        yield _finding(situation, "life-warm", *worst)


def duties(situation: Situation) -> list[tuple[bool, DutyResult]]:
    """Return the life over the duty, cold and warm: (is warm, result)."""
    if situation.stack.motor.duty is None:
        return []
    found = []
    for warm, sharing in ((False, situation.sharing), (True, situation.warm_sharing)):
        if sharing is None:
            continue
        args = (situation.stack, situation.mount, sharing, situation.bearing, situation.viscosity)
        result = duty_of(*args)
        if result is not None:
            found.append((warm, result))
    return found


def _duty_lives(situation: Situation) -> tuple[list[tuple[bool, bool, float]], bool]:
    found: list[tuple[bool, bool, float]] = []
    ended = False
    for warm, result in duties(situation):
        # A part whose thrust nothing carries leaves the life over the duty unknown.
        ended = ended or any(row.carried is False for row in result.rows if row.share > 0)
        for modified, hours in ((False, result.stack_l10h), (True, result.stack_l10mh)):
            if hours is None:
                ended = ended or bool(result.bearings)
            else:
                found.append((warm, modified, hours))
    return found, ended


def _duty_finding(situation: Situation, lives: list[tuple[bool, bool, float]]) -> Iterator[Finding]:
    """Weigh the life over the duty against the shop's limits, or the life that was asked for."""
    if not lives:
        return
    warm, modified, hours = min(lives, key=lambda row: row[2])
    severity = severity_of(situation, hours, may_stop=True)
    if severity is None:
        return
    policy, required = situation.stack.policy, situation.stack.motor.required_l10h
    short = severity == "stop"
    yield Finding(
        code="duty-life",
        severity=severity,
        value=hours,
        limit=policy.stop_l10h if short else wanted_life_h(situation),
        unit="h",
        source=f"{DUTY_SOURCE}; " + (SHOP_POLICY if short or required is None else "life asked for"),
        params=params(
            parts=len(situation.stack.motor.duty or ()),
            required=required is not None,
            warm=warm,
            modified=modified,
        ),
    )


def _load_high(situation: Situation) -> Iterator[Finding]:
    """Note a load at the edge of the life formula: above half of C, or above C0 of a ball bearing."""
    worst: tuple[float, JudgedCase, tuple[float, float]] | None = None
    for case in situation.judged_cases:
        for _warm, loads in case.states:
            dynamic, static = shares = situation.load_shares_in(loads)
            over = max(dynamic / HIGH_LOAD_SHARE, static)
            if over > 1 and (worst is None or over > worst[0]):
                worst = over, case, shares
    if worst is not None:
        _, case, (dynamic, static) = worst
        yield Finding(
            code="load-high",
            severity="note",
            value=dynamic if dynamic > HIGH_LOAD_SHARE else static,
            limit=HIGH_LOAD_SHARE if dynamic > HIGH_LOAD_SHARE else 1.0,
            unit="1",
            source=f"{SOURCE} (from memory, unverified)",
            params=params(case=case.name, of="dynamic" if dynamic > HIGH_LOAD_SHARE else "static"),
        )


def _missing(situation: Situation) -> tuple[Missing, ...]:
    gaps = list(situation.speed_gaps)
    for case in situation.judged_cases:
        if not case.continuous:
            continue
        for _warm, loads in case.states:
            for ref in loads.loaded:
                one = situation.bearing[ref]
                if one.type == "cylindrical_roller":
                    continue
                if one.dynamic_rating_n is None:
                    gaps.append(Missing("dynamic_rating_n", ref))
                if one.type == "angular_contact_ball" and one.contact_angle_deg is None:
                    gaps.append(Missing("contact_angle_deg", ref))
                if _needs_static(situation, ref) and one.static_rating_n is None:
                    gaps.append(Missing("static_rating_n", ref))
                gaps += [
                    Missing(name, ref)
                    for name in ("bore_mm", "outside_diameter_mm")
                    if getattr(one, name) is None and one.pitch_mm is None
                ]
    if situation.stack.lubrication.iso_vg is None:
        gaps.append(Missing("lubrication.iso_vg"))
    return tuple(dict.fromkeys(gaps))


def _needs_static(situation: Situation, ref: str) -> bool:
    """Whether the life of a bearing asks for C0: for a relative load, or for the fatigue limit that nobody entered."""
    one = situation.bearing[ref]
    shallow = one.contact_angle_deg is not None and one.contact_angle_deg < 20
    relative = one.type == "deep_groove_ball" or (one.type == "angular_contact_ball" and shallow)
    return relative or situation.entered_bearing[ref].fatigue_load_limit_n is None


def _look(situation: Situation) -> Look:
    gaps = situation.load_gaps or situation.sharing_gaps
    if gaps:
        return Look(missing=gaps)
    lives, ended = _lives(situation)
    duty, duty_ended = _duty_lives(situation)
    findings = (
        *_case_findings(situation, lives),
        *_duty_finding(situation, duty),
        *_load_high(situation),
    )
    shortest = min((life.hours for life in lives), default=inf)
    shortest = min([shortest, *(hours for _, _, hours in duty)])
    return Look(findings, _missing(situation), shortest, ended or duty_ended)


EQUAL_RADIAL: Final = "equal parts assumed: common practice, no source"


def _factors(evidence: Evidence, case: CaseLoads, ref: str) -> Iterator[WorkingLine]:
    """Yield the loads and factors behind an equivalent load."""
    one = evidence.bearing[ref]
    axial = evidence.loaded[case.name][ref]
    radial = evidence.radial(case.name, ref)
    yield WorkingLine("life", ref, "Fr", "Fr = radial load / loaded bearings", radial, "N", EQUAL_RADIAL)
    factors = dynamic_factors(one, axial)
    if factors is None:
        return
    for symbol, value in zip(("X", "Y", "e"), factors, strict=True):
        yield WorkingLine("life", ref, symbol, "table", value, "1", loads_table.DYNAMIC_SOURCE)


def _life_row(evidence: Evidence, row: LifeRow) -> Iterator[WorkingLine]:
    one = evidence.bearing[row.ref]
    thrust = one.type == "spherical_roller_thrust"
    ball, roller = "L10h = (C/P)^3 10^6 / (60 n)", "L10h = (C/P)^(10/3) 10^6 / (60 n)"
    yield WorkingLine(
        "life",
        row.ref,
        "P",
        "P = Fa + 1.2 Fr" if thrust else "P = X Fr + Y Fa; P = Fr for Fa/Fr <= e",
        row.equivalent_load_n,
        "N",
        loads_table.SPHERICAL_THRUST_SOURCE if thrust else loads_table.DYNAMIC_SOURCE,
    )
    formula = roller if one.type in ROLLER_TYPES else ball
    yield WorkingLine("life", row.ref, "L10h", formula, row.l10h, "h", "ISO 281:2007")
    given = one.fatigue_load_limit_n is not None
    yield WorkingLine(
        "life",
        row.ref,
        "Cu",
        "given" if given else "Cu = C0 / 22, rollers C0 / 8.2; less above dm 100 mm",
        fatigue_load_limit(one),
        "N",
        INPUT if given else life_table.FATIGUE_SOURCE,
    )
    source = _modification_source(one, row)
    yield WorkingLine("life", row.ref, "aISO", "aISO(eC Cu / P, kappa)", row.a_iso, "1", source)
    yield WorkingLine("life", row.ref, "L10mh", "L10mh = aISO L10h", row.l10mh, "h", life_table.SOURCE)
    if row.other_contamination_factor is not None:
        formula, source = "L10mh with eC of Annex A", annex_source(evidence.stack.lubrication)
        yield WorkingLine("life", row.ref, "L10mh Annex A", formula, row.other_l10mh, "h", source)


def _modification_source(one: Bearing, row: LifeRow) -> str:
    """Return the source of aISO, with what of it rests on memory for this bearing."""
    said = [life_table.SOURCE]
    limit, clean = fatigue_load_limit(one), row.contamination_factor
    if one.type == "spherical_roller_thrust":
        said.append(life_table.THRUST_ROLLER_SOURCE)
    load = row.equivalent_load_n
    relative = clean * limit / load if clean and limit and load else 0.0
    if relative > life_table.RELATIVE_LIMIT_MAXIMUM:
        said.append(life_table.RELATIVE_LIMIT_SOURCE)
    return "; ".join(said)


def _life(evidence: Evidence) -> Iterator[WorkingLine]:
    running = evidence.running
    if running is None or not evidence.life.bearings:
        return
    for row in evidence.life.bearings:
        yield from _factors(evidence, running, row.ref)
        yield from _life_row(evidence, row)
    for symbol, value in (("L10h", evidence.life.stack_l10h), ("L10mh", evidence.life.stack_l10mh)):
        formula = f"{symbol} = (sum {symbol}_i^-w)^(-1/w), w = 10/9 (rollers only 9/8)"
        yield WorkingLine("life", None, symbol, formula, value, "h", life_table.SYSTEM_SOURCE)
    life = evidence.life
    if life.reliability_percent > 90:
        formula = f"a1 = 0.95 (ln(100/S) / ln(100/90))^(2/3) + 0.05, S = {life.reliability_percent:g} %"
        yield WorkingLine("life", None, "a1", formula, life.a1, "1", life_table.RELIABILITY_SOURCE)
        yield WorkingLine("life", None, "Lnmh", "Lnmh = a1 L10mh", life.stack_lnmh, "h", life_table.SOURCE)


def _duty(duty: DutyResult) -> Iterator[WorkingLine]:
    yield WorkingLine("duty", None, "n mean", "sum(share n)", duty.mean_speed_rpm, "rpm", INPUT)
    for number, row in enumerate(duty.rows, 1):
        formula = f"L10h at {row.speed_rpm:g} rpm, net {row.net_axial_n or 0.0:.0f} N, share {row.share:g}"
        yield WorkingLine("duty", None, f"L10h part {number}", formula, row.stack_l10h, "h", "ISO 281:2007")
    for one in duty.bearings:
        formula = "P = (sum(u P^p))^(1/p), u = share n / n mean, p = 3 (rollers 10/3)"
        yield WorkingLine("duty", one.ref, "P", formula, one.equivalent_load_n, "N", DUTY_SOURCE)
        formula = "1/L10h = sum(share / L10h)"
        yield WorkingLine("duty", one.ref, "L10h", formula, one.l10h, "h", DUTY_SOURCE)
    for symbol, value in (("L10h", duty.stack_l10h), ("L10mh", duty.stack_l10mh)):
        formula = f"{symbol} = (sum {symbol}_i^-w)^(-1/w)"
        yield WorkingLine("duty", None, symbol, formula, value, "h", DUTY_SOURCE)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    yield from _life(evidence)
    if evidence.shared.duty is not None:
        yield from _duty(evidence.shared.duty)


SUBJECT = Subject(
    name="life",
    decides=True,
    codes=("life", "life-modified", "life-warm", "duty-life", "load-high"),
    reads=reader(
        *LOAD_FIELDS,
        *DUTY_FIELDS,
        "radial_load_n",
        "lubrication.temperature_c",
        "lubrication.viscosity_index",
        "lubrication.contamination",
        "fatigue_load_limit_n",
    ),
    applies=lambda _situation: True,
    look=_look,
    one_way={"fatigue_load_limit_n": True},
    narrowed=without_loads,
    working=_working,
    limits=frozenset({"stop_l10h", "warn_l10h"}),
)
