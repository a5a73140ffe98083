"""Checks of what is entered of a bearing's inside: its ratings against its balls."""

from __future__ import annotations

from collections.abc import Iterator

from bearings.engineering.checks.registry import check
from bearings.engineering.evidence import Evidence
from bearings.engineering.rating_plausibility import (
    PLAUSIBLE_SOURCE,
    geometry_mistake,
    rating_doubts,
)
from bearings.engineering.results import Finding, params
from bearings.engineering.tables.ratings import DYNAMIC_SOURCE, STATIC_SOURCE


@check("rating-estimated")
def rating_estimated(evidence: Evidence) -> Iterator[Finding]:
    """Note every bearing whose ratings were estimated from its balls."""
    for ref, one in evidence.bearing.items():
        if one.rating_basis == "geometry":
            source = f"{DYNAMIC_SOURCE}; {STATIC_SOURCE}"
            yield Finding(code="rating-estimated", severity="note", ref=ref, source=source)


@check("rating-geometry")
def rating_geometry(evidence: Evidence) -> Iterator[Finding]:
    """Warn of a rating far from what the balls give, with both figures."""
    for ref, one in evidence.bearing.items():
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


@check("geometry-impossible")
def geometry_impossible(evidence: Evidence) -> Iterator[Finding]:
    """Warn of balls that cannot be in the bearing: loads shared by them cannot be trusted."""
    for ref, one in evidence.bearing.items():
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
