"""Is each bearing good for the speed, the life, the load and the oil."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bearings.engineering.judged import Figures
from bearings.engineering.quantities import Severity
from bearings.engineering.results import Finding
from bearings.engineering.speed import BearingSpeed, Margin
from bearings.engineering.tables import sources


def speed_margin(figures: Figures) -> Iterator[Finding]:
    """Stop below zero, warn below the shop's margin; a thermal reference speed can only warn."""
    speed, policy = figures.speed, figures.stack.policy
    if speed is None:
        return
    governing = next((line for line in speed.bearings if line.ref == speed.governing), None)
    for margin in speed.margins:
        severity = _severity_of(margin, governing, policy.minimum_speed_margin)
        if severity is None:
            continue
        reverse = margin.speed == "reverse"
        yield Finding(
            code="speed-margin",
            severity=severity,
            ref=None if reverse else speed.governing,
            value=margin.margin,
            limit=0.0 if reverse else policy.minimum_speed_margin,
            unit="1",
            source="limiting speed of the book" if reverse else f"{sources.SET_FACTOR}; {sources.POLICY}",
            params={
                "speed": margin.speed,
                "speed_rpm": margin.speed_rpm,
                "permissible_rpm": margin.permissible_rpm,
                "basis": "limiting" if reverse or governing is None else governing.basis,
                "set_factor": 1.0 if reverse or governing is None else governing.set_factor,
                "rating_rpm": margin.permissible_rpm if reverse or governing is None else governing.rating_rpm,
            },
        )


def _severity_of(margin: Margin, governing: BearingSpeed | None, least: float) -> Severity | None:
    if margin.speed == "reverse":
        return "stop" if margin.margin < 0 else None
    if margin.margin < 0:
        return "warn" if governing is not None and governing.basis == "reference" else "stop"
    return "warn" if margin.margin < least else None


def reference_speed(figures: Figures) -> Iterator[Finding]:
    """Warn: the thermal reference speed lies below the motor's; the heat balance, when known, decides."""
    motor, speed, thermal = figures.stack.motor, figures.speed, figures.thermal
    wanted = motor.synchronous_speed_rpm or motor.rated_speed_rpm
    room = thermal.permissible_rpm if thermal else None
    if speed is None or (room is not None and room >= wanted):
        return
    for line in speed.bearings:
        printed = figures.by_ref[line.ref].reference_speed_rpm
        if printed is None or printed * line.set_factor >= wanted:
            continue
        yield Finding(
            code="reference-speed",
            severity="warn" if room is None else "stop",
            ref=line.ref,
            value=printed * line.set_factor if room is None else room,
            limit=wanted,
            unit="r/min",
            source=sources.ISO_15312,
            params={"printed_rpm": printed, "set_factor": line.set_factor, "heat_known": room is not None},
        )


def speed_not_rated(figures: Figures) -> Iterator[Finding]:
    """Warn: no usable speed is known for a bearing."""
    method = figures.stack.lubrication.method
    for line in figures.speed.bearings if figures.speed else ():
        if line.permissible_rpm is None:
            yield Finding(
                code="speed-not-rated",
                severity="warn",
                ref=line.ref,
                unit="r/min",
                source=sources.COMMON_PRACTICE,
                params={"grease": method == "grease"},
            )


def life(figures: Figures) -> Iterator[Finding]:
    """Stop or warn: the stack's basic rating life against the shop's limits or the contract's."""
    policy, hours = figures.stack.policy, figures.life.stack_l10h
    if hours is None:
        return
    required = figures.stack.motor.required_l10h
    wanted = policy.warn_l10h if required is None else required
    finding = Finding(
        code="life",
        severity="warn",
        value=hours,
        limit=wanted,
        unit="h",
        source=f"{sources.ISO_281_LIFE}; {sources.SYSTEM_LIFE}; "
        + (sources.POLICY if required is None else sources.REQUIRED_LIFE),
    )
    if hours < policy.stop_l10h:
        yield replace(finding, severity="stop", limit=policy.stop_l10h)
    elif hours < wanted:
        yield finding


def static_safety(figures: Figures) -> Iterator[Finding]:
    """Stop: static safety below the shop's limit in any case."""
    policy = figures.stack.policy
    for line in figures.static:
        thrust_roller = figures.by_ref[line.ref].type == "spherical_roller_thrust"
        least = (
            policy.minimum_static_safety_spherical_roller_thrust
            if thrust_roller
            else policy.minimum_static_safety_ball
        )
        if line.safety is not None and line.safety < least:
            yield Finding(
                code="static-safety",
                severity="stop",
                ref=line.ref,
                value=line.safety,
                limit=least,
                unit="1",
                source=sources.ISO_76_STATIC_ROLLER if thrust_roller else sources.ISO_76_STATIC,
                params={"case": line.case, "load_n": line.equivalent_static_load_n},
            )


def viscosity(figures: Figures) -> Iterator[Finding]:
    """Warn: the oil is thinner at temperature than the bearing's speed and size ask for."""
    for line in figures.life.bearings:
        if line.kappa is not None and line.kappa < 1:
            yield Finding(
                code="viscosity",
                severity="warn",
                ref=line.ref,
                value=line.kappa,
                limit=1.0,
                unit="1",
                source=sources.ISO_281_KAPPA,
            )
