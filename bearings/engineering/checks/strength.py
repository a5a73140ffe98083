"""Checks of strength: life, static safety, radial load on thrust rollers."""

from __future__ import annotations

from collections.abc import Iterator

from bearings.engineering.checks.registry import SHOP_POLICY, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.quantities import Bearing, Policy
from bearings.engineering.results import Finding, params
from bearings.engineering.tables.equivalent_load import (
    SPHERICAL_THRUST_RADIAL_LIMIT,
    SPHERICAL_THRUST_SOURCE,
)


@check("life")
def life(evidence: Evidence) -> Iterator[Finding]:
    """Weigh the stack's basic life against the shop's limits, or the life that was asked for."""
    hours = evidence.life.stack_l10h
    if hours is None:
        return
    policy, required = evidence.stack.policy, evidence.stack.motor.required_l10h
    wanted = policy.warn_l10h if required is None else required
    stop = hours < policy.stop_l10h
    if not stop and hours >= wanted:
        return
    yield Finding(
        code="life",
        severity="stop" if stop else "warn",
        value=hours,
        limit=policy.stop_l10h if stop else wanted,
        unit="h",
        source="ISO 281:2007; " + (SHOP_POLICY if stop or required is None else "life asked for"),
        params=params(required=required is not None, wanted_h=wanted),
    )


def minimum_static_safety(bearing: Bearing, policy: Policy) -> float | None:
    """Return the shop's minimum static safety for a type; None where it has none."""
    if bearing.type == "spherical_roller_thrust":
        return policy.minimum_static_safety_spherical_roller_thrust
    if bearing.type == "cylindrical_roller":
        return None
    return policy.minimum_static_safety_ball


@check("static-safety")
def static_safety(evidence: Evidence) -> Iterator[Finding]:
    """Stop for every bearing whose static safety in its worst case is below the shop's minimum."""
    for row in evidence.static:
        minimum = minimum_static_safety(evidence.bearing[row.ref], evidence.stack.policy)
        if row.safety is None or minimum is None or row.safety >= minimum:
            continue
        yield Finding(
            code="static-safety",
            severity="stop",
            ref=row.ref,
            value=row.safety,
            limit=minimum,
            unit="1",
            source=f"ISO 76:2006; {SHOP_POLICY}",
            params=params(case=row.case, load_n=row.equivalent_static_load_n),
        )


@check("radial-load-on-thrust-roller")
def radial_load_on_thrust_roller(evidence: Evidence) -> Iterator[Finding]:
    """Stop when a spherical roller thrust bearing takes more radial load than its axial load allows."""
    for ref, one in evidence.bearing.items():
        if one.type != "spherical_roller_thrust":
            continue
        worst: Finding | None = None
        for case in evidence.cases:
            axial = evidence.loaded[case.name].get(ref)
            radial = evidence.radial(case.name, ref)
            if case.name not in ("running", "maximum") or axial is None or radial is None:
                continue
            limit = SPHERICAL_THRUST_RADIAL_LIMIT * axial
            if radial <= limit or (
                worst is not None and radial / limit <= (worst.value or 0) / (worst.limit or 1)
            ):
                continue
            worst = Finding(
                code="radial-load-on-thrust-roller",
                severity="stop",
                ref=ref,
                value=radial,
                limit=limit,
                unit="N",
                source=SPHERICAL_THRUST_SOURCE,
                params=params(case=case.name, axial_n=axial),
            )
        if worst is not None:
            yield worst
