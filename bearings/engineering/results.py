"""What the checker answers: figures and findings, without sentences."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from bearings.engineering.arrangement import Arrangement
from bearings.engineering.loads import Case
from bearings.engineering.quantities import Severity, Stack
from bearings.engineering.speed import Speeds
from bearings.engineering.thermal import Thermal


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingLife:
    """Life of one loaded bearing in the running case at rated speed."""

    ref: str
    axial_n: float
    radial_n: float
    equivalent_load_n: float | None
    l10h: float | None
    kappa: float | None
    contamination_factor: float | None
    a_iso: float | None
    l10mh: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lives:
    """Lives of the loaded bearings and of the stack as a series system. [h]"""

    bearings: tuple[BearingLife, ...] = ()
    stack_l10h: float | None = None
    stack_l10mh: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StaticSafety:
    """Static safety of one bearing in its worst case."""

    ref: str
    equivalent_static_load_n: float | None
    safety: float | None
    case: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A statement of the checker: a code and figures in SI; ``params`` are what its sentence needs."""

    code: str
    severity: Severity
    ref: str | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""
    params: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class NotChecked:
    """A check that could not be made, and the code of the reason with what is missing."""

    check: str
    reason: str
    params: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """The whole answer to one stack."""

    version: str
    stack: Stack
    arrangement: Arrangement
    cases: tuple[Case, ...]
    unloading_thrust_n: float | None
    life: Lives
    static: tuple[StaticSafety, ...]
    speed: Speeds
    thermal: Thermal
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]

    @property
    def worst(self) -> Severity | None:
        """The gravest severity among the findings."""
        found = {finding.severity for finding in self.findings}
        for severity in ("stop", "warn", "note"):
            if severity in found:
                return severity  # type: ignore[return-value]
        return None

    def case(self, name: str) -> Case | None:
        """Return a load case by name, or None when its inputs are unknown."""
        return next((case for case in self.cases if case.name == name), None)
