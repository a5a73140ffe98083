"""Springs: are they strong enough for least load and upthrust, and not solid under the rotor alone?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from bearings.engineering.evidence import Evidence
from bearings.engineering.least_load import MAKER_SOURCE
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Bearing, Part, Severity
from bearings.engineering.results import Finding, WorkingLine, params
from bearings.engineering.situation import Situation
from bearings.engineering.springs import SOURCE, SpringRow, spring_rows
from bearings.engineering.subjects.subject import (
    COMMON_PRACTICE,
    INPUT,
    LOAD_FIELDS,
    NO_LIMIT,
    STATICS,
    Look,
    Subject,
    reader,
)


def _beside_spring_pack(situation: Situation) -> frozenset[str]:
    """Return the bearings next to a spring pack on the list."""
    items = list(zip(situation.mount.refs, situation.stack.items, strict=True))
    found = set()
    for number, (_, item) in enumerate(items):
        if isinstance(item, Part) and item.kind == "spring_pack":
            near = [items[at] for at in (number - 1, number + 1) if 0 <= at < len(items)]
            found |= {ref for ref, other in near if isinstance(other, Bearing)}
    return frozenset(found)


def sprung(situation: Situation) -> list[tuple[str, Bearing]]:
    """Return the bearings that rest on springs: by a figure of theirs or by a spring pack beside them."""
    beside = _beside_spring_pack(situation)
    return [(ref, one) for ref, one in situation.mount.bearings if one.on_springs or ref in beside]


def _rows(situation: Situation) -> tuple[SpringRow, ...]:
    return spring_rows(
        situation.stack,
        situation.mount,
        situation.cases,
        situation.speed,
        situation.viscosity,
        situation.entered_bearing,
    )


def _solid(situation: Situation, rows: tuple[SpringRow, ...]) -> Iterator[Finding]:
    """Tell of springs that are solid: usual under the running thrust, not under the rotor's weight alone."""
    nets = {case.name: abs(case.net_axial_n) for case in situation.cases}
    for row in rows:
        solid = [case.case for case in row.cases if case.solid]
        if not solid:
            continue
        alone = "uncoupled" in solid
        name = "uncoupled" if alone else solid[0]
        yield Finding(
            code="spring-solid",
            severity="warn" if alone else "note",
            ref=row.ref,
            value=nets[name],
            limit=row.solid_from_n,
            unit="N",
            source=f"{SOURCE}; {COMMON_PRACTICE}",
            params=params(case=name, travel_mm=row.travel_mm),
        )


def _lift_n(situation: Situation, ref: str) -> float:
    sign = 1 if situation.bearing[ref].wide_face == "down" else -1
    return max(0.0, -min((sign * case.net_axial_n for case in situation.cases), default=0.0))


def _too_weak(situation: Situation, rows: tuple[SpringRow, ...]) -> Iterator[Finding]:
    """Warn of springs below least load and momentary up thrust together; stop when the washers part."""
    for row in rows:
        if row.force_n is None:
            continue
        lift, least = _lift_n(situation, row.ref), row.minimum_load_n or 0.0
        if row.force_n >= lift + least:
            continue
        severity: Severity = "warn"
        if not row.guides and row.force_n < lift:
            severity = "stop"
        elif row.guides and row.force_n >= least:
            severity = "note"
        yield Finding(
            code="spring-too-weak",
            severity=severity,
            ref=row.ref,
            value=row.force_n,
            limit=lift + least,
            unit="N",
            source=f"{STATICS}; {MAKER_SOURCE}; sum of both: {COMMON_PRACTICE}",
            params=params(lift_n=lift, least_n=row.minimum_load_n, refs=row.guides),
        )


def _missing(situation: Situation) -> tuple[Missing, ...]:
    # What the rollers need to stay on their races grows with the speed.
    gaps = [*situation.face_gaps, *situation.speed_gaps]
    motor = situation.stack.motor
    if motor.down_thrust_n is None:
        gaps.append(Missing("motor.down_thrust_n"))
    for ref, one in sprung(situation):
        gaps += [
            Missing(name, ref)
            for name in ("spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm")
            if getattr(one, name) is None
        ]
        if one.type == "spherical_roller_thrust" and one.static_rating_n is None:
            gaps.append(Missing("static_rating_n", ref))
    return tuple(gaps)


def _look(situation: Situation) -> Look:
    rows = _rows(situation)
    findings = (*_solid(situation, rows), *_too_weak(situation, rows))
    margin = min(
        (
            row.force_n - _lift_n(situation, row.ref) - (row.minimum_load_n or 0.0)
            for row in rows
            if row.force_n is not None
        ),
        default=inf,
    )
    return Look(findings, _missing(situation), margin)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.shared.springs:
        yield WorkingLine("springs", row.ref, "F0", "given", row.force_n, "N", INPUT)
        formula = "F0 + k travel"
        yield WorkingLine("springs", row.ref, "solid from", formula, row.solid_from_n, "N", SOURCE)
        formula = "1.8 Fr + A (n/1000)^2"
        least = row.minimum_load_n
        yield WorkingLine("springs", row.ref, "Fa min", formula, least, "N", MAKER_SOURCE)
        for case in row.cases:
            formula = "u = (P - F0) / k, at most the travel"
            pressed = case.compression_mm
            yield WorkingLine("springs", row.ref, f"u {case.case}", formula, pressed, "mm", SOURCE)
            if row.guides:
                names = "+".join(row.guides)
                formula = "max(P, F0) - P"
                load = case.guide_n
                yield WorkingLine("springs", names, f"Fa {case.case}", formula, load, "N", SOURCE)
        for guide in row.held:
            formula = f"(C/P)^p 10^6 / (60 n) with Fa {guide.case} all the time"
            yield WorkingLine("springs", guide.ref, "L10h", formula, guide.l10h, "h", "ISO 281:2007")


SUBJECT = Subject(
    name="springs",
    decides=True,
    codes=("spring-solid", "spring-too-weak"),
    reads=reader(*LOAD_FIELDS, "minimum_load_factor_n"),
    applies=lambda situation: bool(sprung(situation)),
    look=_look,
    working=_working,
    limits=NO_LIMIT,
)
