"""Preload: what heat and fits make of the preload of an opposed set, and whether anything holds it."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final, Literal, NamedTuple

from bearings.engineering.end_play import SOURCE as PLAY_SOURCE
from bearings.engineering.evidence import Evidence
from bearings.engineering.growth import FIT_SOURCE, THERMAL_SOURCE, GrowthRow, raceway_growth, rest_preload_n
from bearings.engineering.load_cases import DRIVE_CASES
from bearings.engineering.load_gaps import Missing
from bearings.engineering.loads import loads_without_preload
from bearings.engineering.mounted import SOURCE as MOUNTED_SOURCE
from bearings.engineering.mounted import is_modelled
from bearings.engineering.quantities import Part
from bearings.engineering.results import UNLOADED_BELOW_N, Finding, WorkingLine, params
from bearings.engineering.rising_angle import SOURCE as RISING_SOURCE
from bearings.engineering.sharing import PALMGREN_SOURCE
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import (
    COMMON_PRACTICE,
    MOUNTED_FIELDS,
    NO_FIELD,
    SHOP_POLICY,
    Look,
    Subject,
    reader,
)

CLAMPS: Final[frozenset[str]] = frozenset({"lock_nut"})


class _Change(NamedTuple):
    """Preload of an opposed set at rest, cold and as mounted and warm, in N."""

    before_n: float
    after_n: float

    @property
    def kind(self) -> Literal["lost", "gained", "grown"] | None:
        """What heat and fits do to it; None where they do nothing to tell."""
        if self.before_n >= UNLOADED_BELOW_N > self.after_n:
            return "lost"
        if self.before_n < UNLOADED_BELOW_N <= self.after_n:
            return "gained"
        return "grown" if self.after_n > self.before_n + UNLOADED_BELOW_N else None


def _change(situation: Situation) -> _Change | None:
    warm = situation.warm_sharing
    if warm is None or not situation.mount.opposed:
        return None
    return _Change(rest_preload_n(situation.sharing.contacts), rest_preload_n(warm.contacts))


def _limit_n(situation: Situation) -> float | None:
    """Return the preload that is warned of: a share of C of the weakest bearing."""
    ratings = [one.dynamic_rating_n for _, one in situation.angular]
    known = [rating for rating in ratings if rating is not None]
    return situation.stack.policy.warm_preload_share * min(known) if len(known) == len(ratings) else None


def _thermal_preload(situation: Situation, change: _Change | None) -> Iterator[Finding]:
    """Warn where preload is lost or too much of C; note any other growth, because a warm set usually doubles."""
    if change is None or change.kind is None:
        return
    limit = _limit_n(situation)
    heavy = limit is not None and change.after_n > limit
    ups, downs = situation.mount.up, situation.mount.down
    yield Finding(
        code="thermal-preload",
        severity="warn" if heavy or change.kind == "lost" else "note",
        ref=(ups or downs)[0][0],
        value=change.after_n,
        limit=limit if heavy else change.before_n,
        unit="N",
        source=f"{MOUNTED_SOURCE}; limit: {COMMON_PRACTICE}, {SHOP_POLICY}",
        params=params(
            refs=tuple(ref for ref, _ in situation.mount.one_way),
            kind=change.kind,
            before_n=change.before_n,
            heavy=heavy,
            warmer_k=situation.stack.motor.shaft_warmer_k,
        ),
    )


def _not_proven(situation: Situation) -> Iterator[Finding]:
    """Note a preload that no lock nut holds, with the loads that follow when it is not there."""
    preload = max((one.pair_preload_n or 0.0 for one in situation.entered_bearing.values()), default=0.0)
    clamped = any(isinstance(item, Part) and item.kind in CLAMPS for item in situation.stack.items)
    if preload <= 0 or clamped:
        return
    case = next((one for one in situation.case_nets if one.name not in DRIVE_CASES), None)
    loads: list[tuple[str, float]] = []
    if case is not None:
        without = loads_without_preload(situation.mount, case.name, case.net_axial_n)
        loads = [(row.ref, row.axial_n) for row in without.bearings if row.axial_n is not None]
    yield Finding(
        code="preload-not-proven",
        severity="note",
        value=preload,
        unit="N",
        source=COMMON_PRACTICE,
        params=params(case=None if case is None else case.name, loads=tuple(loads)),
    )


def _missing(situation: Situation) -> tuple[Missing, ...]:
    if not is_modelled(situation.mount) and not situation.unfaced:
        return situation.sharing_gaps
    gaps = [gap for gap in situation.load_gaps if not gap.field.startswith("motor.")]
    gaps += [
        Missing("dynamic_rating_n", ref) for ref, one in situation.angular if one.dynamic_rating_n is None
    ]
    return tuple(dict.fromkeys(gaps))


def _look(situation: Situation) -> Look:
    gaps = _missing(situation)
    change = None if gaps else _change(situation)
    limit = _limit_n(situation)
    margin = inf
    if change is not None:
        heaviest = -change.after_n / limit if limit else -change.after_n
        margin = -inf if change.kind == "lost" else heaviest
    return Look((*_thermal_preload(situation, change), *_not_proven(situation)), gaps, margin)


def _narrowed(situation: Situation) -> frozenset[str] | None:
    """Return that no field changes the answer where what is missing hides every change of the preload."""
    modelled = is_modelled(situation.mount) or bool(situation.unfaced)
    return NO_FIELD if modelled and _missing(situation) else None


def _play(evidence: Evidence) -> Iterator[WorkingLine]:
    shared = evidence.shared
    if shared.end_play_um is not None:
        formula = "E = -(greatest o down + greatest o up); negative is preloaded"
        source = f"{PLAY_SOURCE}; {PALMGREN_SOURCE}"
        yield WorkingLine("play", None, "E", formula, shared.end_play_um, "um", source)
    if shared.gauge is not None:
        formula = f"x(+F) - x(-F) by the second model, F = {shared.gauge.force_n:g} N"
        yield WorkingLine("play", None, "gauge", formula, shared.gauge.reading_um, "um", RISING_SOURCE)


def _growth_row(evidence: Evidence, row: GrowthRow) -> Iterator[WorkingLine]:
    pair = "+".join(row.refs)
    formula = "L between the middles of the bearings, parts between counted"
    yield WorkingLine("growth", pair, "L", formula, row.distance_mm, "mm", "geometry")
    sign = "-" if row.relation == "DB" else "+"
    formula = f"dS = a dT (dm cot(alpha) {sign} L), a = 11.5e-6/K"
    yield WorkingLine("growth", pair, "dS heat", formula, row.thermal_um, "um", THERMAL_SOURCE)
    for ref in row.refs:
        if evidence.bearing[ref].fit_interference_um:
            share = raceway_growth(evidence.bearing[ref])
            yield WorkingLine("growth", ref, "widening", "bore / raceway", share, "1", FIT_SOURCE)
    formula = "dS = widening interference / (2 tan(alpha)), both"
    yield WorkingLine("growth", pair, "dS fit", formula, row.fit_um, "um", FIT_SOURCE)
    yield WorkingLine(
        "growth", pair, "F0", "forces balance without thrust", row.preload_n, "N", "static balance"
    )
    formula = "the same with o + dS, less F0"
    yield WorkingLine("growth", pair, "dF0", formula, row.preload_change_n, "N", "static balance")
    if row.end_play_um is not None:
        yield WorkingLine("growth", None, "E", "E less the growth", row.end_play_um, "um", PLAY_SOURCE)


def _growth(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.shared.growth:
        yield from _growth_row(evidence, row)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    yield from _play(evidence)
    yield from _growth(evidence)


SUBJECT = Subject(
    name="preload",
    decides=False,
    codes=("thermal-preload", "preload-not-proven"),
    reads=reader(*MOUNTED_FIELDS),
    applies=lambda situation: (
        len(situation.angular) > 1 and (situation.mount.opposed or bool(situation.unfaced))
    ),
    look=_look,
    narrowed=_narrowed,
    working=_working,
    limits=frozenset({"warm_preload_share"}),
)
