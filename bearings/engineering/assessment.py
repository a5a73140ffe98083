"""check_stack: everything that can be said of a stack, and everything that cannot."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from bearings.engineering.checks import all_findings
from bearings.engineering.evidence import Evidence, gather
from bearings.engineering.quantities import Stack
from bearings.engineering.results import (
    ArrangementResult,
    CaseLoads,
    Finding,
    LifeResult,
    NotChecked,
    SpeedResult,
    StaticRow,
    ThermalResult,
    WorkingLine,
)
from bearings.engineering.results_sharing import SharingResult
from bearings.engineering.unchecked import all_unchecked
from bearings.engineering.working import all_working

VERSION: Final = "1.1.0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """The whole answer to a stack: results, findings, what was not checked, and the working."""

    version: str
    stack: Stack
    arrangement: ArrangementResult
    cases: tuple[CaseLoads, ...]
    unloading_thrust_n: float | None
    life: LifeResult
    static: tuple[StaticRow, ...]
    speed: SpeedResult
    thermal: ThermalResult
    sharing: SharingResult
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    evidence: Evidence = field(repr=False)

    @property
    def working(self) -> tuple[WorkingLine, ...]:
        """Every figure with its formula, put together when somebody asks: most checks only want the result."""
        return all_working(self.evidence)

    @property
    def stopped(self) -> bool:
        """Whether a finding stops the stack."""
        return any(finding.severity == "stop" for finding in self.findings)


def check_stack(stack: Stack) -> Assessment:
    """Check a stack: directions, loads, life, static safety, speed, heat and build, in one pass."""
    evidence = gather(stack)
    return Assessment(
        version=VERSION,
        stack=stack,
        arrangement=evidence.arrangement,
        cases=evidence.cases,
        unloading_thrust_n=evidence.unloading_thrust_n,
        life=evidence.life,
        static=evidence.static,
        speed=evidence.speed,
        thermal=evidence.thermal,
        sharing=evidence.shared,
        findings=all_findings(evidence),
        not_checked=all_unchecked(evidence),
        evidence=evidence,
    )
