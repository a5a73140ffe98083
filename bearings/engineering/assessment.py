"""check_stack: everything that can be said of a stack, and everything that cannot."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from bearings.engineering.case_results import CaseResult, EndPlayMounted, case_results, end_play_mounted
from bearings.engineering.evidence import Evidence
from bearings.engineering.grease import GreaseRow, grease_rows
from bearings.engineering.guide_results import GuideRow, guide_rows
from bearings.engineering.headline import Headline, SubjectResult
from bearings.engineering.judgement import Judgement
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
    params,
)
from bearings.engineering.settling import Settle, settles
from bearings.engineering.sharing_result import SharingResult
from bearings.engineering.subjects import SUBJECTS
from bearings.engineering.worked_once import worked_once

VERSION: Final = "2.0.0"


def not_checked_of(results: Iterable[SubjectResult]) -> tuple[NotChecked, ...]:
    """Return what each unproven subject lacks, part by part."""
    found = []
    for result in results:
        refs: dict[str | None, list[str]] = {}
        for gap in result.missing:
            refs.setdefault(gap.ref, []).append(gap.field)
        found += [
            NotChecked(result.subject, "missing", params(fields=tuple(fields), ref=ref))
            for ref, fields in refs.items()
        ]
        if result.verdict == "not_proven" and not result.missing:
            found.append(NotChecked(result.subject, "method-ends"))
    return tuple(found)


class Assessment:
    """The whole answer to a stack. Each part is worked out when somebody asks for it, and once.

    Loads, lives and speeds are those of the stack as entered, cold; verdicts are drawn over the ranges of what
    nobody entered.
    """

    version = VERSION

    def __init__(self, stack: Stack) -> None:
        self.stack = stack
        self.judgement = Judgement(stack)

    @worked_once
    def evidence(self) -> Evidence:
        """The figures of the stack as it was entered."""
        middle = self.judgement.middle
        return middle if middle.stack == self.stack else Evidence(self.stack)

    @property
    def arrangement(self) -> ArrangementResult:
        """Relations and directions of the one-way bearings."""
        return self.evidence.arrangement

    @property
    def cases(self) -> tuple[CaseLoads, ...]:
        """Loads of the cases whose inputs are known, cold."""
        return self.evidence.cases

    @property
    def unloading_thrust_n(self) -> float | None:
        """Net down thrust that unloads the first bearing carrying up, cold."""
        return self.evidence.unloading_thrust_n

    @property
    def unloading_thrust_warm_n(self) -> float | None:
        """The same as mounted and warm."""
        middle = self.judgement.middle
        return None if middle.load_gaps else middle.unloading_thrust_warm_n

    @property
    def life(self) -> LifeResult:
        """Lives in the running case at rated speed, cold."""
        return self.evidence.life

    @property
    def static(self) -> tuple[StaticRow, ...]:
        """Static safety of every bearing in its worst case, cold."""
        return self.evidence.static

    @property
    def speed(self) -> SpeedResult:
        """Allowable speeds and margins."""
        return self.evidence.speed

    @property
    def thermal(self) -> ThermalResult:
        """Friction and cooling in the running case."""
        return self.evidence.thermal

    @property
    def sharing(self) -> SharingResult:
        """Second model, mismatch, end play, growth, duty and springs."""
        return self.evidence.shared

    @worked_once
    def guides(self) -> tuple[GuideRow, ...]:
        """Each guide: which way it holds the shaft, its float, speed and life, as entered and cold."""
        return guide_rows(self.evidence)

    @worked_once
    def grease(self) -> tuple[GreaseRow, ...]:
        """Grease life of every greased bearing and guide."""
        return grease_rows(self.stack, self.evidence.mount)

    @worked_once
    def judged_cases(self) -> tuple[CaseResult, ...]:
        """Every case judged whole: loads cold and warm, lives, film, skidding, friction."""
        return case_results(self.evidence, self.judgement.middle)

    @worked_once
    def end_play_mounted(self) -> EndPlayMounted | None:
        """The end play that the stack should have as mounted, not warm."""
        return end_play_mounted(self.stack, self.judgement)

    @property
    def subjects(self) -> tuple[SubjectResult, ...]:
        """The verdict of every subject."""
        return self.judgement.results

    @property
    def headline(self) -> Headline:
        """The one line that a reader acts on."""
        return self.judgement.headline

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, gravest first."""
        return self.judgement.findings

    @worked_once
    def settles(self) -> tuple[Settle, ...]:
        """Which figure matters: what would change a verdict, and what would not."""
        return settles(self.judgement)

    @worked_once
    def not_checked(self) -> tuple[NotChecked, ...]:
        """What each unproven subject lacks, by subject."""
        return not_checked_of(self.subjects)

    @property
    def working(self) -> tuple[WorkingLine, ...]:
        """Every figure with its formula, put together when somebody asks: most checks only want the result."""
        return tuple(line for subject in SUBJECTS for line in subject.working(self.evidence))

    @property
    def stopped(self) -> bool:
        """Whether a finding stops the stack."""
        return self.headline.verdict == "stop"


def check_stack(stack: Stack) -> Assessment:
    """Check a stack: directions, loads, life, static safety, speed, set, skidding, oil, heat and build."""
    return Assessment(stack)
