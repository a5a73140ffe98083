"""Checks of a spherical roller thrust bearing on springs, and of guides that are to hold thrust."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.arrangement import DIRECTIONS
from bearings.engineering.checks.registry import COMMON_PRACTICE, STATICS, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.minimum_load import SOURCE as MINIMUM_LOAD_SOURCE
from bearings.engineering.quantities import Severity
from bearings.engineering.results import Finding, params
from bearings.engineering.springs import SOURCE

# Thrust that a deep groove bearing bears by itself over its static rating; small and light ones bear half of that.
GROOVE_THRUST_SHARE: Final = 0.5
GROOVE_THRUST_SOURCE: Final = "rule for pure thrust, 0.5 C0 (common practice, no source)"


@check("spring-solid")
def spring_solid(evidence: Evidence) -> Iterator[Finding]:
    """Tell of springs that are solid: usual under the running thrust, not under the rotor's weight alone."""
    nets = {case.name: abs(case.net_axial_n) for case in evidence.cases}
    for row in evidence.shared.springs:
        solid = [case.case for case in row.cases if case.solid]
        if not solid:
            continue
        alone = "uncoupled" in solid
        yield Finding(
            code="spring-solid",
            severity="warn" if alone else "note",
            ref=row.ref,
            value=nets["uncoupled" if alone else solid[0]],
            limit=row.solid_from_n,
            unit="N",
            source=f"{SOURCE}; {COMMON_PRACTICE}",
            params=params(case="uncoupled" if alone else solid[0], travel_mm=row.travel_mm),
        )


@check("spring-too-weak")
def spring_too_weak(evidence: Evidence) -> Iterator[Finding]:
    """Warn of springs below least load and momentary up thrust together; stop when the washers part."""
    for row in evidence.shared.springs:
        if row.force_n is None:
            continue
        sign = 1 if evidence.bearing[row.ref].wide_face == "down" else -1
        lifting = min((sign * case.net_axial_n for case in evidence.cases), default=0.0)
        lift, least = max(0.0, -lifting), row.minimum_load_n or 0.0
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
            source=f"{STATICS}; {MINIMUM_LOAD_SOURCE}; sum of both: {COMMON_PRACTICE}",
            params=params(lift_n=lift, least_n=row.minimum_load_n, refs=row.guides),
        )


@check("groove-thrust-limit")
def groove_thrust_limit(evidence: Evidence) -> Iterator[Finding]:
    """Warn of a deep groove bearing whose thrust in a case is more than half of its static rating."""
    for ref, one in evidence.bearing.items():
        if one.type != "deep_groove_ball" or one.static_rating_n is None:
            continue
        limit = GROOVE_THRUST_SHARE * one.static_rating_n
        loads = [(case.loaded[ref], case.name) for case in evidence.cases if ref in case.loaded]
        axial, name = max(loads, default=(0.0, None))
        if axial > limit:
            yield Finding(
                code="groove-thrust-limit",
                severity="warn",
                ref=ref,
                value=axial,
                limit=limit,
                unit="N",
                source=GROOVE_THRUST_SOURCE,
                params=params(case=name),
            )


@check("guide-without-thrust")
def guide_without_thrust(evidence: Evidence) -> Iterator[Finding]:
    """Stop for a guide that is said to carry what its kind cannot; note guides that leave up thrust unheld."""
    mount = evidence.mount
    for ref, guide in mount.guides:
        able = guide.bearing.carries
        claimed = [way for way in DIRECTIONS if guide.carries in (way, "both")]
        wrong = tuple(way for way in claimed if able not in (way, "both"))
        if wrong:
            yield Finding(
                code="guide-without-thrust",
                severity="stop",
                ref=ref,
                source=STATICS,
                params=params(type=guide.bearing.type, ways=wrong),
            )
    thrust_rollers = [ref for ref, one in mount.bearings if one.type == "spherical_roller_thrust"]
    radial = tuple(ref for ref, guide in mount.guides if guide.bearing.type == "cylindrical_roller")
    if thrust_rollers and radial and not mount.carried("up"):
        yield Finding(
            code="guide-without-thrust",
            severity="note",
            ref=radial[0],
            source=STATICS,
            params=params(type="cylindrical_roller", refs=radial, bearing=thrust_rollers[0]),
        )
