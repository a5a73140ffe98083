"""Entries: do the figures that were entered agree with each other? Outside the law on unknowns: it needs both."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.rating_plausibility import (
    PLAUSIBLE_SOURCE,
    geometry_mistake,
    rating_doubts,
)
from bearings.engineering.results import Finding, params
from bearings.engineering.rising_angle import ASSUMED_SOURCE
from bearings.engineering.rising_angle import SOURCE as RISING_SOURCE
from bearings.engineering.sharing import PALMGREN_SOURCE
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import Look, Subject, reader
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
    """Note a printed reference speed that is far from the one by the heat balance of the standard."""
    for row in situation.thermal.bearings:
        printed, computed = situation.bearing[row.ref].reference_speed_rpm, row.reference_speed_rpm
        if printed is None or computed is None or computed <= 0:
            continue
        difference = abs(printed / computed - 1)
        if difference > REFERENCE_DIFFERS:
            yield Finding(
                code="reference-speed-differs",
                severity="note",
                ref=row.ref,
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
)
