"""Lubrication: the film at the slowest continuous speed, the heat of cage and rings, which way oil is pumped."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final

from bearings.engineering.arrangement import relation
from bearings.engineering.evidence import Evidence
from bearings.engineering.grease import grease_rows
from bearings.engineering.load_gaps import Missing
from bearings.engineering.lubrication import reference_viscosity
from bearings.engineering.quantities import Bearing, Lubrication, Part
from bearings.engineering.ranges import CAGES, STABILISED_C, TEMPERATURE_C
from bearings.engineering.results import Finding, LifeRow, WorkingLine, params
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import DRIVE_FIELDS, INPUT, NO_LIMIT, Look, Subject, reader
from bearings.engineering.tables import life_factors as life_table
from bearings.engineering.tables import viscosity as oil_table
from bearings.engineering.tables.contamination import CLEANLINESS, UNVERIFIED_SOURCE
from bearings.engineering.tables.contamination import SOURCE as ANNEX_SOURCE
from bearings.engineering.tables.grease import SOURCE as GREASE_SOURCE

KAPPA_WANTED: Final = 1.0
# Temperatures in degC that cages bear for long, and by how much more stops (from memory, unverified).
CAGE_LIMIT_C: Final[dict[str, float]] = {"polyamide": 120.0, "phenolic": 100.0, "peek": 200.0, "other": 100.0}
RING_LIMIT_C: Final = 120.0
STOP_ABOVE_K: Final = 20.0
TEMPERATURE_SOURCE: Final = "cage material and ring stabilization (from memory, unverified)"
SPACERS: Final = frozenset({"spacer", "shim"})
PUMPING_SOURCE: Final = "geometry of the rings, oil moves from small to large diameter; not tested"


def _filmed(situation: Situation) -> list[tuple[str, Bearing]]:
    """Return the bearings of the stack that carry thrust, a face that is not known counted in."""
    return [pair for pair in situation.mount.bearings if pair[1].type != "cylindrical_roller"]


def slowest_rpm(situation: Situation) -> float | None:
    """Return the slowest speed at which the motor is known to run for long."""
    rated, slow = situation.stack.motor.rated_speed_rpm, situation.stack.motor.minimum_speed_rpm
    if rated is None or slow is None:
        return slow if rated is None else rated
    return min(slow, rated)


def _kappas(situation: Situation) -> dict[str, float]:
    viscosity, speed = situation.viscosity, slowest_rpm(situation)
    if viscosity is None or speed is None:
        return {}
    return {
        ref: viscosity / reference_viscosity(speed, one.pitch_mm)
        for ref, one in _filmed(situation)
        if one.pitch_mm is not None
    }


def _viscosity(situation: Situation, kappas: dict[str, float]) -> Iterator[Finding]:
    """Warn, once for all bearings, where the oil is thinner than it must be at the slowest continuous speed."""
    thin = {ref: kappa for ref, kappa in kappas.items() if kappa < KAPPA_WANTED}
    if not thin:
        return
    worst = min(thin, key=lambda ref: thin[ref])
    yield Finding(
        code="viscosity",
        severity="warn",
        ref=worst,
        refs=(worst, *(ref for ref in thin if ref != worst)),
        value=thin[worst],
        limit=KAPPA_WANTED,
        unit="1",
        source="ISO 281:2007",
        params=params(
            viscosity_mm2_s=situation.viscosity,
            temperature_c=situation.stack.lubrication.temperature_c,
            speed_rpm=slowest_rpm(situation),
        ),
    )


def temperature_limit_c(bearing: Bearing) -> float | None:
    """Return the oil temperature in degC that a bearing bears for long; None where its cage is not known.

    The source's own figure comes first; else the lower of cage and rings. Rings count as warm as the oil.
    """
    if bearing.temperature_limit_c is not None:
        return bearing.temperature_limit_c
    if bearing.cage_material is None:
        return None
    ring = RING_LIMIT_C if bearing.stabilised_to_c is None else bearing.stabilised_to_c
    return min(ring, CAGE_LIMIT_C.get(bearing.cage_material, inf))


def _too_hot(situation: Situation) -> Iterator[Finding]:
    """Warn of oil hotter than cage or rings bear, stop 20 K above; of each guide by its own temperature."""
    oil_c = situation.stack.lubrication.temperature_c
    if oil_c is not None:
        yield from _hotter(situation, oil_c, dict(situation.mount.bearings))
    for ref, guide in situation.mount.guides:
        if guide.guide_temperature_c is not None:
            yield from _hotter(situation, guide.guide_temperature_c, {ref: guide.bearing})


def _hotter(situation: Situation, oil_c: float, bearings: dict[str, Bearing]) -> Iterator[Finding]:
    limits = {ref: temperature_limit_c(one) for ref, one in bearings.items()}
    hot = {ref: limit for ref, limit in limits.items() if limit is not None and oil_c > limit}
    if not hot:
        return
    worst = min(hot, key=lambda ref: hot[ref])
    yield Finding(
        code="cage-temperature",
        severity="stop" if oil_c > hot[worst] + STOP_ABOVE_K else "warn",
        ref=worst,
        refs=(worst, *(ref for ref in hot if ref != worst)),
        value=oil_c,
        limit=hot[worst],
        unit="degC",
        source=TEMPERATURE_SOURCE,
        params=params(cage=situation.bearing[worst].cage_material),
    )


def _grease_life(situation: Situation) -> Iterator[Finding]:
    """Note how long the grease lasts, once, at the bearing or guide where it ages first."""
    rows = grease_rows(situation.entered, situation.mount)
    known = {row.ref: row for row in rows if row.grease_life_h is not None}
    if not known:
        return
    first = min(known.values(), key=lambda row: row.grease_life_h or 0.0)
    yield Finding(
        code="grease-life",
        severity="note",
        ref=first.ref,
        refs=(first.ref, *(ref for ref in known if ref != first.ref)),
        value=first.grease_life_h,
        unit="h",
        source=GREASE_SOURCE,
        params=params(temperature_c=first.temperature_c, speed_rpm=first.speed_rpm, ndm=first.ndm),
    )


def _opposed_oil_flow(situation: Situation) -> Iterator[Finding]:
    """Note opposed neighbours whose oil flows meet (face to face) or part (back to back) without a spacer between."""
    if situation.stack.lubrication.method == "grease":
        return
    above: tuple[str, Bearing] | None = None
    spaced = False
    for ref, item in zip(situation.mount.refs, situation.stack.items, strict=True):
        if isinstance(item, Part):
            spaced = spaced or item.kind in SPACERS
            continue
        if above is not None and not spaced and _both_pump(above[1], item):
            kind = relation(above[1], item)
            if kind != "DT":
                yield Finding(
                    code="opposed-oil-flow",
                    severity="note",
                    ref=ref,
                    refs=(above[0], ref),
                    source=PUMPING_SOURCE,
                    params=params(relation=kind),
                )
        above, spaced = (ref, item), False


def _both_pump(upper: Bearing, lower: Bearing) -> bool:
    return all(one.type == "angular_contact_ball" and one.wide_face is not None for one in (upper, lower))


def _missing(situation: Situation) -> tuple[Missing, ...]:
    gaps = [] if situation.stack.lubrication.iso_vg is not None else [Missing("lubrication.iso_vg")]
    gaps += [
        Missing(name, ref)
        for ref, one in _filmed(situation)
        for name in ("bore_mm", "outside_diameter_mm")
        if one.pitch_mm is None and getattr(one, name) is None
    ]
    return (*situation.speed_gaps, *gaps, *_cages_of_hot_guides(situation))


def _cages_of_hot_guides(situation: Situation) -> Iterator[Missing]:
    """Yield the cages of the guides that run hotter than every cage bears."""
    for ref, guide in situation.mount.guides:
        own_c = guide.guide_temperature_c
        if own_c is not None and own_c > COOL_C and temperature_limit_c(guide.bearing) is None:
            yield Missing("cage_material", ref)


def _margin(situation: Situation, kappas: dict[str, float]) -> float:
    oil_c = situation.stack.lubrication.temperature_c
    limits = [temperature_limit_c(one) for _, one in situation.mount.bearings]
    left = [limit / oil_c for limit in limits if limit is not None and oil_c]
    return min([*kappas.values(), *left], default=inf)


def _look(situation: Situation) -> Look:
    kappas = _kappas(situation)
    findings = (
        *_viscosity(situation, kappas),
        *_too_hot(situation),
        *_opposed_oil_flow(situation),
        *_grease_life(situation),
    )
    oil = situation.stack.lubrication
    outside = oil.iso_vg is not None and oil.temperature_c is not None and situation.viscosity is None
    return Look(findings, _missing(situation), _margin(situation, kappas), outside)


def _narrowed(situation: Situation) -> frozenset[str] | None:
    """Return that cages and rings change nothing where the oil is never hotter than any of them bears."""
    entered, assumed = situation.entered.lubrication, situation.stack.policy.assumed_temperature_c
    oil_c = entered.temperature_c
    if oil_c is None:
        oil_c = TEMPERATURE_C[1] if assumed is None else assumed
    return COOL_FIELDS if oil_c <= COOL_C else None


def annex_source(oil: Lubrication) -> str:
    """Return the source of the contamination factor by Annex A, which says where a row is from memory."""
    checked = CLEANLINESS[oil.cleanliness][2] if oil.cleanliness is not None else False
    return ANNEX_SOURCE if checked else UNVERIFIED_SOURCE


def _contamination(oil: Lubrication, row: LifeRow) -> Iterator[WorkingLine]:
    """Yield the contamination factor by the route that counts, and by the other one where both are known."""
    annex = f"eC = a (1 - b / dm^(1/3)), a = k kappa^0.68 dm^0.55 <= 1: {oil.cleanliness}"
    value = row.contamination_factor
    if oil.contamination_factor is not None:
        yield WorkingLine("oil", row.ref, "eC", "given", value, "1", INPUT)
    elif oil.contamination is not None or oil.cleanliness is None:
        yield WorkingLine("oil", row.ref, "eC", "table", value, "1", life_table.CONTAMINATION_SOURCE)
    else:
        yield WorkingLine("oil", row.ref, "eC", annex, value, "1", annex_source(oil))
    if row.other_contamination_factor is not None:
        other = row.other_contamination_factor
        yield WorkingLine("oil", row.ref, "eC Annex A", annex, other, "1", annex_source(oil))


def _oil_working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield viscosity, and for each loaded bearing what it needs, the ratio of both, and how clean the oil is."""
    if evidence.viscosity is not None:
        source = f"{oil_table.TEMPERATURE_SOURCE}; {oil_table.INDEX_SOURCE}; {oil_table.GRADE_SOURCE}"
        formula = "log log(nu + 0.7) = A - B log T"
        yield WorkingLine("oil", None, "nu", formula, evidence.viscosity, "mm2/s", source)
    if evidence.running is None:
        return
    for row in evidence.life.bearings:
        pitch = evidence.bearing[row.ref].pitch_mm
        speed = evidence.stack.motor.rated_speed_rpm
        if pitch is not None and speed is not None:
            needed = reference_viscosity(speed, pitch)
            formula = "nu1 = 45000 n^-0.83 dm^-0.5; 4500 n^-0.5 dm^-0.5 from 1000 rpm"
            yield WorkingLine("oil", row.ref, "nu1", formula, needed, "mm2/s", life_table.SOURCE)
        yield WorkingLine("oil", row.ref, "kappa", "kappa = nu / nu1", row.kappa, "1", life_table.SOURCE)
        yield from _contamination(evidence.stack.lubrication, row)


def _grease_working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield the grease life of each greased bearing and guide step by step."""
    for row in grease_rows(evidence.stack, evidence.mount):
        ref = row.ref
        yield WorkingLine("grease", ref, "n dm", "speed x pitch diameter", row.ndm, "mm/min", "definition")
        formula = "K (14e6 / (n d^0.5) - 4 d), K = 10 ball, 5 cylindrical, 1 thrust roller"
        yield WorkingLine("grease", ref, "t 70", formula, row.hours_at_70c, "h", GREASE_SOURCE)
        formula = "0.5^((temperature - 70) / 15), at most 1"
        yield WorkingLine("grease", ref, "f warm", formula, row.temperature_factor, "1", GREASE_SOURCE)
        formula = "0.5 on a vertical shaft, else 1"
        yield WorkingLine("grease", ref, "f shaft", formula, row.shaft_factor, "1", GREASE_SOURCE)
        formula = "t 70 f warm f shaft, at most 40 000 h"
        yield WorkingLine("grease", ref, "grease life", formula, row.grease_life_h, "h", GREASE_SOURCE)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    yield from _oil_working(evidence)
    yield from _grease_working(evidence)


OIL_FIELDS: Final = (
    *DRIVE_FIELDS,
    "lubrication.method",
    "lubrication.temperature_c",
    "lubrication.viscosity_index",
)
COOL_FIELDS: Final = frozenset(OIL_FIELDS)
# What every cage and ring bears that may stand for one that nobody entered.
COOL_C: Final = min(STABILISED_C[0], RING_LIMIT_C, *(CAGE_LIMIT_C.get(cage, inf) for cage in CAGES))

SUBJECT = Subject(
    name="lubrication",
    decides=True,
    codes=("viscosity", "cage-temperature", "opposed-oil-flow", "grease-life"),
    reads=reader(*OIL_FIELDS, "cage_material", "stabilised_to_c"),
    applies=lambda _situation: True,
    look=_look,
    # The choices of a cage count from brass, which bears any oil, to polyamide.
    one_way={"stabilised_to_c": True, "cage_material": False},
    narrowed=_narrowed,
    working=_working,
    limits=NO_LIMIT,
)
