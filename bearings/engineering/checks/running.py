"""Checks of a bearing that carries too little, and of its oil film."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.checks.registry import COMMON_PRACTICE, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.minimum_load import SOURCE as MINIMUM_LOAD_SOURCE
from bearings.engineering.minimum_load import minimum_load
from bearings.engineering.results import Finding, params

KAPPA_WANTED: Final = 1.0


@check("unloaded-in-running")
def unloaded_in_running(evidence: Evidence) -> Iterator[Finding]:
    """Note an opposed angular contact bearing that runs unloaded; warn above the shop's n dm."""
    running = evidence.running
    if running is None or not running.carried or not evidence.mount.opposed:
        return
    limit = evidence.stack.policy.unloaded_warn_ndm
    for row in running.bearings:
        one = evidence.bearing[row.ref]
        if one.type != "angular_contact_ball" or one.on_springs or not row.unloaded:
            continue
        pitch = one.pitch_mm
        ndm = None if pitch is None else evidence.stack.motor.rated_speed_rpm * pitch
        yield Finding(
            code="unloaded-in-running",
            severity="warn" if ndm is not None and ndm > limit else "note",
            ref=row.ref,
            value=ndm,
            limit=limit,
            unit="mm/min",
            source=COMMON_PRACTICE,
            params=params(
                axial_n=row.axial_n,
                net_axial_n=running.net_axial_n,
                unloading_thrust_n=evidence.unloading_thrust_n,
            ),
        )


@check("minimum-load")
def too_little_load(evidence: Evidence) -> Iterator[Finding]:
    """Warn for every bearing that carries less than it needs in a case, with the case that lacks most."""
    speed = evidence.stack.motor.rated_speed_rpm
    for ref, one in evidence.bearing.items():
        if one.minimum_load_factor_n is None:
            continue
        always = one.type == "spherical_roller_thrust"
        worst: Finding | None = None
        lack = 0.0
        for case in evidence.cases:
            load = case.axial_n(ref)
            if load is None or (not always and ref not in evidence.loaded[case.name]):
                continue
            least = minimum_load(one, speed, evidence.radial(case.name, ref))
            if least is None or least - load <= lack:
                continue
            lack = least - load
            worst = Finding(
                code="minimum-load",
                severity="warn",
                ref=ref,
                value=load,
                limit=least,
                unit="N",
                source=MINIMUM_LOAD_SOURCE,
                params=params(case=case.name, speed_rpm=speed),
            )
        if worst is not None:
            yield worst


@check("viscosity")
def viscosity(evidence: Evidence) -> Iterator[Finding]:
    """Warn for every loaded bearing whose oil is thinner than it needs at rated speed."""
    for row in evidence.life.bearings:
        if row.kappa is not None and row.kappa < KAPPA_WANTED:
            yield Finding(
                code="viscosity",
                severity="warn",
                ref=row.ref,
                value=row.kappa,
                limit=KAPPA_WANTED,
                unit="1",
                source="ISO 281:2007",
                params=params(
                    viscosity_mm2_s=evidence.viscosity,
                    temperature_c=evidence.stack.lubrication.temperature_c,
                ),
            )
