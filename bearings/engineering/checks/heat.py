"""Checks of heat: what the bearings lose against what is taken away, printed against computed reference speed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.checks.registry import check
from bearings.engineering.evidence import Evidence
from bearings.engineering.results import Finding, params
from bearings.engineering.tables.friction import COOLING_SOURCE, FRICTION_SOURCE, REFERENCE_SOURCE

# Beyond this a printed and a computed reference speed are told apart (common practice, no source).
REFERENCE_DIFFERS: Final = 0.15


@check("heat-balance")
def heat_balance(evidence: Evidence) -> Iterator[Finding]:
    """Warn when more is lost than taken away at the motor's speed, note when the uncertainty leaves it open.

    It never stops: neither the friction nor an estimated cooling is known well enough for that.
    """
    need, cooling = evidence.thermal.need, evidence.thermal.cooling
    if need is None or cooling.available_w is None or need.high_w <= cooling.available_w:
        return
    yield Finding(
        code="heat-balance",
        severity="warn" if need.friction_w > cooling.available_w else "note",
        value=need.friction_w,
        limit=cooling.available_w,
        unit="W",
        source=f"{FRICTION_SOURCE}; {COOLING_SOURCE}",
        params=params(
            speed=need.speed,
            speed_rpm=need.speed_rpm,
            low_w=need.low_w,
            high_w=need.high_w,
            basis=cooling.basis,
            external_known=cooling.basis == "given" or cooling.external_w is not None,
        ),
    )


@check("reference-speed-differs")
def reference_speed_differs(evidence: Evidence) -> Iterator[Finding]:
    """Note a printed reference speed that is far from the one by the heat balance of the standard."""
    for row in evidence.thermal.bearings:
        printed, computed = evidence.bearing[row.ref].reference_speed_rpm, row.reference_speed_rpm
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
