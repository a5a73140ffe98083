"""The working of load sharing beyond the cases: second model, end play, mismatch, growth, duty, springs."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, sin
from typing import Final

from bearings.engineering.duty import SOURCE as DUTY_SOURCE
from bearings.engineering.end_play import SOURCE as PLAY_SOURCE
from bearings.engineering.evidence import Evidence
from bearings.engineering.growth import FIT_SOURCE, THERMAL_SOURCE, raceway_growth
from bearings.engineering.hertz import SOURCE as HERTZ_SOURCE
from bearings.engineering.least_load import MAKER_SOURCE as MINIMUM_LOAD_SOURCE
from bearings.engineering.mismatch import SOURCE as MISMATCH_SOURCE
from bearings.engineering.results import UNLOADED_BELOW_N, WorkingLine
from bearings.engineering.results_sharing import DutyResult, GrowthRow, ModelRow
from bearings.engineering.rising_angle import (
    ASSUMED_SOURCE,
    SOURCE,
    contacts_of,
    groove_ratios,
    grooves_of,
)
from bearings.engineering.sharing import PALMGREN_SOURCE
from bearings.engineering.springs import SOURCE as SPRING_SOURCE

INPUT: Final = "input"
GROOVES: Final = "usual groove radius assumed (common practice, no source)"


def _second_model(evidence: Evidence) -> Iterator[WorkingLine]:
    shared = evidence.shared
    if shared.assumed_groove_ratios is None:
        return
    source = ASSUMED_SOURCE if shared.assumed_groove_ratios else SOURCE
    for ref, one in evidence.mount.one_way:
        grooves = grooves_of(one)
        if grooves is None or one.ball_count is None:
            continue
        inner, outer = groove_ratios(one)
        for symbol, value, given in (
            ("fi", inner, one.inner_groove_ratio is not None),
            ("fo", outer, one.outer_groove_ratio is not None),
        ):
            yield WorkingLine(
                "rising", ref, symbol, "groove radius / Dw", value, "1", INPUT if given else GROOVES
            )
        formula = "A0 = (fi + fo - 1) Dw; A^2 = (A0 sin(alpha0) + d)^2 + (A0 cos(alpha0))^2"
        yield WorkingLine("rising", ref, "A0", formula, grooves.apart, "mm", SOURCE)
        formula = "Kn = (Ki^(-2/3) + Ko^(-2/3))^(-3/2)"
        ball = grooves.stiffness / one.ball_count
        yield WorkingLine("rising", ref, "Kn", formula, ball, "N/mm^1.5", HERTZ_SOURCE)
    formula = "F = Z Kn (A - A0)^1.5 sin(alpha)"
    for row in shared.loads:
        yield WorkingLine("rising", row.ref, f"Fa {row.case}", formula, row.rising_angle_n, "N", source)
        angle = row.contact_angle_deg
        yield WorkingLine(
            "rising", row.ref, f"alpha {row.case}", "of the stretched line", angle, "deg", source
        )
        if row.case == "running":
            yield from _pressures(evidence, row)
    if shared.rising_unloading_thrust_n is not None:
        thrust = shared.rising_unloading_thrust_n
        formula = "P at which the first upward bearing has d = 0"
        yield WorkingLine("rising", None, "P*", formula, thrust, "N", source)


def _pressures(evidence: Evidence, row: ModelRow) -> Iterator[WorkingLine]:
    """Yield the ball load and the contact pressures of a loaded bearing in the running case."""
    one = evidence.bearing[row.ref]
    contacts = contacts_of(one)
    if contacts is None or one.ball_count is None or row.rising_angle_n < UNLOADED_BELOW_N:
        return
    ball = row.rising_angle_n / one.ball_count / sin(radians(row.contact_angle_deg))
    yield WorkingLine("rising", row.ref, "Q running", "Q = F / (Z sin(alpha))", ball, "N", SOURCE)
    for symbol, contact in (("p inner", contacts.inner), ("p outer", contacts.outer)):
        a, b = contact.half_axes_mm(ball)
        formula = f"p = 3 Q / (2 pi a b), a = {a:.3g} mm, b = {b:.3g} mm"
        pressure = contact.greatest_pressure(ball)
        yield WorkingLine("rising", row.ref, symbol, formula, pressure, "N/mm2", HERTZ_SOURCE)


def _play(evidence: Evidence) -> Iterator[WorkingLine]:
    shared = evidence.shared
    if shared.end_play_um is not None:
        formula = "E = -(greatest o down + greatest o up); negative is preloaded"
        source = f"{PLAY_SOURCE}; {PALMGREN_SOURCE}"
        yield WorkingLine("play", None, "E", formula, shared.end_play_um, "um", source)
    if shared.gauge is not None:
        formula = f"x(+F) - x(-F) by the second model, F = {shared.gauge.force_n:g} N"
        yield WorkingLine("play", None, "gauge", formula, shared.gauge.reading_um, "um", SOURCE)
    for row in shared.mismatch:
        pair = "+".join(row.refs)
        formula = f"d = (F/K)^(2/3) of one under both loads, {row.case}"
        limit = row.carries_all_um
        yield WorkingLine("play", pair, "carries all", formula, limit, "um", MISMATCH_SOURCE)
        formula, limit = f"d of one under both loads, {row.case}, second model", row.rising_carries_all_um
        yield WorkingLine("play", pair, "carries all", formula, limit, "um", SOURCE)
        if row.heavier_share is not None:
            formula = "greater load / both"
            yield WorkingLine("play", pair, "share", formula, row.heavier_share, "1", PALMGREN_SOURCE)


def _growth(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.shared.growth:
        yield from _growth_row(evidence, row)


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


def _springs(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.shared.springs:
        yield WorkingLine("springs", row.ref, "F0", "given", row.force_n, "N", INPUT)
        formula = "F0 + k travel"
        yield WorkingLine("springs", row.ref, "solid from", formula, row.solid_from_n, "N", SPRING_SOURCE)
        formula = "1.8 Fr + A (n/1000)^2"
        least = row.minimum_load_n
        yield WorkingLine("springs", row.ref, "Fa min", formula, least, "N", MINIMUM_LOAD_SOURCE)
        for case in row.cases:
            formula = "u = (P - F0) / k, at most the travel"
            pressed = case.compression_mm
            yield WorkingLine("springs", row.ref, f"u {case.case}", formula, pressed, "mm", SPRING_SOURCE)
            if row.guides:
                names = "+".join(row.guides)
                formula = "max(P, F0) - P"
                load = case.guide_n
                yield WorkingLine("springs", names, f"Fa {case.case}", formula, load, "N", SPRING_SOURCE)
        for guide in row.held:
            formula = f"(C/P)^p 10^6 / (60 n) with Fa {guide.case} all the time"
            yield WorkingLine("springs", guide.ref, "L10h", formula, guide.l10h, "h", "ISO 281:2007")


def sharing_working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield the lines of every part of the load sharing that was asked."""
    yield from _second_model(evidence)
    yield from _play(evidence)
    yield from _growth(evidence)
    if evidence.shared.duty is not None:
        yield from _duty(evidence.shared.duty)
    yield from _springs(evidence)
