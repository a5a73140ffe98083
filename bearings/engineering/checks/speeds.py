"""Checks of speed: margins, reference speed, bearings without a usable speed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bearings.engineering.checks.registry import SHOP_POLICY, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.results import Finding, Margin, SpeedRow, params
from bearings.engineering.speed import (
    RATING_SOURCE,
    SET_FACTOR_SOURCE,
    falls_short,
    lowest_limiting_speed,
    permissible,
)


@check("speed-margin")
def speed_margin(evidence: Evidence) -> Iterator[Finding]:
    """Weigh the margin over every motor speed; a reverse speed only stops when nothing is left."""
    for margin in evidence.speed.margins:
        finding = _reverse(evidence, margin) if margin.speed == "reverse" else _continuous(evidence, margin)
        if finding is not None:
            yield finding
    if evidence.stack.motor.non_reverse is True:
        yield Finding(
            code="speed-margin",
            severity="note",
            unit="1",
            source=SHOP_POLICY,
            params=params(
                speed="reverse", speed_rpm=evidence.stack.motor.reverse_speed_rpm, non_reverse=True
            ),
        )


@check("duty-speed")
def duty_speed(evidence: Evidence) -> Iterator[Finding]:
    """Weigh the fastest part of the duty where it turns faster than the speeds that have a margin already."""
    motor, allowed = evidence.stack.motor, evidence.speed.permissible_rpm
    parts = [(point.speed_rpm, number) for number, point in enumerate(motor.duty or (), 1) if point.share > 0]
    if not parts or allowed is None:
        return
    fastest, number = max(parts, key=lambda part: part[0])
    known = (motor.rated_speed_rpm, motor.synchronous_speed_rpm, motor.maximum_speed_rpm)
    if fastest <= max(speed for speed in known if speed is not None):
        return
    finding = _continuous(evidence, Margin("rated", fastest, allowed, allowed / fastest - 1))
    if finding is not None:
        yield replace(finding, code="duty-speed", params={**finding.params, "part": number})


def _exceeded_mechanically(evidence: Evidence, speed_rpm: float) -> SpeedRow | None:
    """The lowest bearing whose permissible speed rests on more than heat and lies below the speed."""
    lowest: SpeedRow | None = None
    for row in evidence.speed.bearings:
        if row.permissible_rpm is None or row.basis == "reference" or row.permissible_rpm >= speed_rpm:
            continue
        if lowest is None or row.permissible_rpm < (lowest.permissible_rpm or 0.0):
            lowest = row
    return lowest


def _continuous(evidence: Evidence, margin: Margin) -> Finding | None:
    """A reference speed is a matter of heat and warns; any other speed that is exceeded stops."""
    wanted = evidence.stack.policy.minimum_speed_margin
    if not falls_short(margin.permissible_rpm, margin.speed_rpm, max(wanted, 0.0)):
        return None
    exceeded = _exceeded_mechanically(evidence, margin.speed_rpm)
    row = exceeded or next(row for row in evidence.speed.bearings if row.ref == evidence.speed.governing)
    allowed = row.permissible_rpm or 0.0
    return Finding(
        code="speed-margin",
        severity="stop" if exceeded is not None else "warn",
        ref=row.ref,
        value=allowed / margin.speed_rpm - 1,
        limit=wanted,
        unit="1",
        source=f"{RATING_SOURCE}; set factor: {SET_FACTOR_SOURCE}",
        params=params(
            speed=margin.speed,
            speed_rpm=margin.speed_rpm,
            permissible_rpm=allowed,
            basis=row.basis,
            set_factor=row.set_factor,
        ),
    )


def _reverse(evidence: Evidence, margin: Margin) -> Finding | None:
    if margin.margin >= 0:
        return None
    lowest = lowest_limiting_speed((*evidence.mount.bearings, *evidence.loaded_guides))
    return Finding(
        code="speed-margin",
        severity="stop",
        ref=lowest[1] if lowest else None,
        value=margin.margin,
        limit=0.0,
        unit="1",
        source=RATING_SOURCE,
        params=params(speed="reverse", speed_rpm=margin.speed_rpm, permissible_rpm=margin.permissible_rpm),
    )


@check("reference-speed")
def reference_speed(evidence: Evidence) -> Iterator[Finding]:
    """Weigh the printed reference speed; the computed heat balance settles it where it is known."""
    motor = evidence.stack.motor
    speed = motor.rated_speed_rpm if motor.synchronous_speed_rpm is None else motor.synchronous_speed_rpm
    balance = evidence.thermal.permissible_rpm
    if balance is not None and balance >= speed:
        return
    for row in evidence.speed.bearings:
        reference = evidence.bearing[row.ref].reference_speed_rpm
        allowed = None if reference is None else permissible(reference, row.set_factor)
        if allowed is None or allowed >= speed:
            continue
        yield Finding(
            code="reference-speed",
            severity="warn" if balance is None else "stop",
            ref=row.ref,
            value=allowed,
            limit=speed,
            unit="rpm",
            source=f"ISO 15312, printed reference speed; set factor: {SET_FACTOR_SOURCE}",
            params=params(thermal_rpm=balance, heat_removed_w=evidence.thermal.heat_removed_w),
        )


@check("speed-not-rated")
def speed_not_rated(evidence: Evidence) -> Iterator[Finding]:
    """Warn for every bearing that has no usable speed."""
    for row in evidence.speed.bearings:
        if row.rating_rpm is None:
            yield Finding(
                code="speed-not-rated",
                severity="warn",
                ref=row.ref,
                unit="rpm",
                source=SHOP_POLICY,
                params=params(method=evidence.stack.lubrication.method),
            )
