"""Entries: do the figures that were entered agree with each other? Outside the law on unknowns: it needs both."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, sin
from typing import Final

from bearings.engineering.evidence import Evidence
from bearings.engineering.hertz import SOURCE as HERTZ_SOURCE
from bearings.engineering.rating_plausibility import (
    PLAUSIBLE_SOURCE,
    geometry_mistake,
    rating_doubts,
)
from bearings.engineering.results import UNLOADED_BELOW_N, Finding, WorkingLine, params
from bearings.engineering.rising_angle import ASSUMED_SOURCE, contacts_of, groove_ratios, grooves_of
from bearings.engineering.rising_angle import SOURCE as RISING_SOURCE
from bearings.engineering.sharing import PALMGREN_SOURCE
from bearings.engineering.sharing_result import ModelRow
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import INPUT, NO_LIMIT, Look, Subject, reader
from bearings.engineering.tables.friction import REFERENCE_SOURCE
from bearings.engineering.tables.ratings import DYNAMIC_SOURCE, STATIC_SOURCE

# Beyond this a printed and a computed reference speed are told apart (common practice, no source).
REFERENCE_DIFFERS: Final = 0.15
# Both models of load sharing are told where they differ by more than this of the greater load.
MODELS_DIFFER: Final = 0.05


def _rating_estimated(situation: Situation) -> Iterator[Finding]:
    """Note, once for all, the bearings whose ratings were estimated from their balls."""
    refs = tuple(ref for ref, one in situation.bearing.items() if one.rating_basis == "geometry")
    if refs:
        source = f"{DYNAMIC_SOURCE}; {STATIC_SOURCE}"
        yield Finding(code="rating-estimated", severity="note", ref=refs[0], refs=refs, source=source)


def _rating_geometry(situation: Situation) -> Iterator[Finding]:
    """Warn of a rating far from what the balls give, with both figures."""
    for ref, one in situation.entered_bearing.items():
        for doubt in rating_doubts(one):
            yield Finding(
                code="rating-geometry",
                severity="warn",
                ref=ref,
                value=doubt.entered_n,
                limit=doubt.geometry_n,
                unit="N",
                source=PLAUSIBLE_SOURCE,
                params=params(field=doubt.field, ratio=doubt.ratio, suspected=doubt.suspected),
            )


def _geometry_impossible(situation: Situation) -> Iterator[Finding]:
    """Warn of balls that cannot be in the bearing: loads shared by them cannot be trusted."""
    for ref, one in situation.entered_bearing.items():
        mistake = geometry_mistake(one)
        if mistake is not None:
            yield Finding(
                code="geometry-impossible",
                severity="warn",
                ref=ref,
                value=mistake.needed_mm,
                limit=mistake.there_mm,
                unit="mm",
                source="geometry",
                params=params(reason=mistake.reason),
            )


def _reference_speed_differs(situation: Situation) -> Iterator[Finding]:
    """Note, once for all, printed reference speeds that are far from those by the heat balance of the standard."""
    if all(one.reference_speed_rpm is None for _, one in situation.mount.bearings):
        return
    apart: list[tuple[float, str, float, float]] = []
    for row in situation.thermal.bearings:
        printed, computed = situation.bearing[row.ref].reference_speed_rpm, row.reference_speed_rpm
        if printed is None or computed is None or computed <= 0:
            continue
        difference = abs(printed / computed - 1)
        if difference > REFERENCE_DIFFERS:
            apart.append((difference, row.ref, computed, printed))
    if not apart:
        return
    difference, worst, computed, printed = max(apart, key=lambda one: one[0])
    yield Finding(
        code="reference-speed-differs",
        severity="note",
        ref=worst,
        refs=(worst, *(ref for _, ref, _, _ in apart if ref != worst)),
        value=computed,
        limit=printed,
        unit="rpm",
        source=REFERENCE_SOURCE,
        params=params(difference=difference),
    )


def _sharing_models_differ(situation: Situation) -> Iterator[Finding]:
    """Note where the two models of load sharing differ most, with both loads."""
    rows = [row for row in situation.models.rows if row.difference > MODELS_DIFFER]
    if not rows:
        return
    most = max(rows, key=lambda row: row.difference)
    second = ASSUMED_SOURCE if situation.models.assumed_groove_ratios else RISING_SOURCE
    yield Finding(
        code="sharing-models-differ",
        severity="note",
        ref=most.ref,
        value=most.rising_angle_n,
        limit=most.axial_n,
        unit="N",
        source=f"{PALMGREN_SOURCE}; {second}",
        params=params(
            case=most.case,
            difference=most.difference,
            angle_deg=most.contact_angle_deg,
            assumed=situation.models.assumed_groove_ratios,
        ),
    )


def _look(situation: Situation) -> Look:
    return Look(
        (
            *_rating_estimated(situation),
            *_rating_geometry(situation),
            *_geometry_impossible(situation),
            *_reference_speed_differs(situation),
            *_sharing_models_differ(situation),
        )
    )


GROOVES: Final = "usual groove radius assumed (common practice, no source)"


def _pressures(evidence: Evidence, row: ModelRow) -> Iterator[WorkingLine]:
    """Yield the ball load and the contact pressures of a loaded bearing in the running case."""
    one = evidence.bearing[row.ref]
    contacts = contacts_of(one)
    if contacts is None or one.ball_count is None or row.rising_angle_n < UNLOADED_BELOW_N:
        return
    ball = row.rising_angle_n / one.ball_count / sin(radians(row.contact_angle_deg))
    yield WorkingLine("rising", row.ref, "Q running", "Q = F / (Z sin(alpha))", ball, "N", RISING_SOURCE)
    for symbol, contact in (("p inner", contacts.inner), ("p outer", contacts.outer)):
        a, b = contact.half_axes_mm(ball)
        formula = f"p = 3 Q / (2 pi a b), a = {a:.3g} mm, b = {b:.3g} mm"
        pressure = contact.greatest_pressure(ball)
        yield WorkingLine("rising", row.ref, symbol, formula, pressure, "N/mm2", HERTZ_SOURCE)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    shared = evidence.shared
    if shared.assumed_groove_ratios is None:
        return
    source = ASSUMED_SOURCE if shared.assumed_groove_ratios else RISING_SOURCE
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
        yield WorkingLine("rising", ref, "A0", formula, grooves.apart, "mm", RISING_SOURCE)
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


SUBJECT = Subject(
    name="entries",
    decides=False,
    codes=(
        "rating-estimated",
        "rating-geometry",
        "geometry-impossible",
        "reference-speed-differs",
        "sharing-models-differ",
    ),
    reads=reader(),
    applies=lambda _situation: True,
    look=_look,
    working=_working,
    limits=NO_LIMIT,
)
