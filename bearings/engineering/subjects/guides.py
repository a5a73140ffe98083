"""Guides: does something guide the shaft, and how long does it live under thrust and radial load?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from bearings.engineering.arrangement import DIRECTIONS
from bearings.engineering.evidence import Evidence
from bearings.engineering.growth import THERMAL_SOURCE
from bearings.engineering.guide_results import float_enough, growth_um, guide_equivalent, guide_rows, taking
from bearings.engineering.load_cases import JudgedCase
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Guide
from bearings.engineering.rating import basic_life_h
from bearings.engineering.results import Finding, WorkingLine, params
from bearings.engineering.situation import Situation
from bearings.engineering.speed import RATING_SOURCE, SET_FACTOR_SOURCE
from bearings.engineering.subjects.life import SOURCE, severity_of, wanted_life_h
from bearings.engineering.subjects.subject import (
    COMMON_PRACTICE,
    DUTY_FIELDS,
    INPUT,
    LOAD_FIELDS,
    SHOP_POLICY,
    STATICS,
    Look,
    Subject,
    reader,
)
from bearings.engineering.tables.equivalent_load import DYNAMIC_SOURCE


class GuideLife(NamedTuple):
    """Life of one guide in the continuous case that wears it most."""

    ref: str
    case: str
    axial_n: float
    radial_n: float
    equivalent_load_n: float
    l10h: float


def _no_radial_guide(situation: Situation) -> Iterator[Finding]:
    """Warn when spherical roller thrust bearings stand without anything that guides the shaft."""
    thrust_only = [ref for ref, one in situation.mount.bearings if one.type == "spherical_roller_thrust"]
    guiding = any(one.type != "spherical_roller_thrust" for one in situation.bearing.values())
    if thrust_only and not guiding:
        yield Finding(
            code="no-radial-guide",
            severity="warn",
            ref=thrust_only[0],
            source=COMMON_PRACTICE,
            params=params(refs=tuple(thrust_only)),
        )


def _axial(case: JudgedCase, ref: str) -> float | None:
    loads = [state.axial_n(ref) for _, state in case.states]
    known = [load for load in loads if load is not None]
    return max(known) if len(known) == len(loads) else None


def guide_lives(situation: Situation) -> tuple[list[GuideLife], list[Missing]]:
    """Return the shortest life of every guide that is loaded, and what is missing for it."""
    found, missing = [], []
    for ref, guide in situation.mount.guides:
        one, radial = guide.bearing, guide.radial_load_n
        shortest: GuideLife | None = None
        if one.dynamic_rating_n is None:
            missing.append(Missing("dynamic_rating_n", ref))
        for case in situation.judged_cases:
            if not case.continuous:
                continue
            axial = _axial(case, ref)
            if axial is None or radial is None:
                continue
            load = guide_equivalent(one, axial, radial)
            if load is None:
                name = "contact_angle_deg" if one.type == "angular_contact_ball" else "static_rating_n"
                missing.append(Missing(name, ref))
                continue
            speed = case.speed_rpm
            hours = basic_life_h(one, load, speed) if load > 0 and speed is not None else None
            if hours is not None and (shortest is None or hours < shortest.l10h):
                shortest = GuideLife(ref, case.name, axial, radial, load, hours)
        if shortest is not None:
            found.append(shortest)
    return found, missing


def _guide_life(situation: Situation, lives: list[GuideLife]) -> Iterator[Finding]:
    """Warn of every guide whose life is below what the stack's must reach."""
    short = [row for row in lives if severity_of(situation, row.l10h, may_stop=False) is not None]
    if not short:
        return
    worst = min(short, key=lambda row: row.l10h)
    required = situation.stack.motor.required_l10h is not None
    yield Finding(
        code="guide-life",
        severity="warn",
        ref=worst.ref,
        refs=(worst.ref, *(row.ref for row in short if row.ref != worst.ref)),
        value=worst.l10h,
        limit=wanted_life_h(situation),
        unit="h",
        source=f"{SOURCE}; " + ("life asked for" if required else SHOP_POLICY),
        params=params(case=worst.case, axial_n=worst.axial_n, radial_n=worst.radial_n),
    )


def entered_guides(situation: Situation) -> Iterator[tuple[str, Guide]]:
    """Yield every guide as people entered it: what its notes say hangs on no range."""
    return zip((ref for ref, _ in situation.mount.guides), situation.entered.guides, strict=True)


def _shares_thrust(situation: Situation) -> Iterator[Finding]:
    """Note guides without end play beside a stack that carries the same way: both would hold the shaft."""
    found = {
        ref: tuple(way for way in DIRECTIONS if taking(situation.mount, guide, way) == "shares")
        for ref, guide in entered_guides(situation)
    }
    for ref, ways in found.items():
        if ways:
            yield Finding(
                code="guide-shares-thrust",
                severity="note",
                ref=ref,
                source=STATICS,
                params=params(ways=ways),
            )


def _float(situation: Situation) -> Iterator[Finding]:
    """Note guides whose end play is less than what the warm shaft moves them."""
    for ref, guide in entered_guides(situation):
        if float_enough(situation.entered, situation.mount, guide) is False:
            yield Finding(
                code="guide-float",
                severity="note",
                ref=ref,
                value=growth_um(situation.entered, guide),
                limit=guide.end_play_um,
                unit="um",
                source=THERMAL_SOURCE,
                params=params(distance_mm=guide.distance_mm),
            )


def _look(situation: Situation) -> Look:
    lives, missing = guide_lives(situation)
    gaps = list(missing)
    if situation.mount.guides:
        gaps += situation.speed_gaps
        gaps += situation.load_gaps or situation.sharing_gaps
    findings = (
        *_no_radial_guide(situation),
        *_guide_life(situation, lives),
        *_shares_thrust(situation),
        *_float(situation),
    )
    margin = min((row.l10h for row in lives), default=inf)
    return Look(findings, tuple(dict.fromkeys(gaps)), margin)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield float, speed, load and life of each guide."""
    for row in guide_rows(evidence):
        ref = row.ref
        if row.growth_um is not None:
            formula = "a L dT, a = 11.5e-6/K, L from the stack to the guide"
            yield WorkingLine("guides", ref, "growth", formula, row.growth_um, "um", THERMAL_SOURCE)
        yield WorkingLine("guides", ref, "rating", row.basis or "-", row.rating_rpm, "rpm", RATING_SOURCE)
        formula = "n = rating f of a single bearing"
        yield WorkingLine("guides", ref, "n", formula, row.permissible_rpm, "rpm", SET_FACTOR_SOURCE)
        yield WorkingLine("guides", ref, "Fr", "given", row.radial_n, "N", INPUT)
        formula = "P of Fa running and Fr"
        yield WorkingLine("guides", ref, "P", formula, row.equivalent_load_n, "N", DYNAMIC_SOURCE)
        yield WorkingLine("guides", ref, "L10h", "L10h = (C/P)^p 10^6 / (60 n)", row.l10h, "h", SOURCE)


def _applies(situation: Situation) -> bool:
    rollers = any(one.type == "spherical_roller_thrust" for _, one in situation.mount.bearings)
    return bool(situation.mount.guides) or rollers


SUBJECT = Subject(
    name="guides",
    decides=False,
    codes=("no-radial-guide", "guide-life", "guide-shares-thrust", "guide-float"),
    reads=reader(*LOAD_FIELDS, *DUTY_FIELDS, "radial_load_n"),
    applies=_applies,
    look=_look,
    working=_working,
    limits=frozenset({"stop_l10h", "warn_l10h"}),
)
