"""The verdict of every subject over the ranges of what nobody entered, and the headline.

One law: unknown is never better than known. A subject with unknown ranged fields is tried with all of them low, in
the middle and high, each alone at its ends with the rest in the middle, then all at the ends that were worse and at
those that were better. An end that makes no difference in the middle is tried again at these two points: whether a
guide has end play shows only where the rotor is lifted. What all tries share is its verdict; else it is not proven.
Fields of which more is never worse (or never better) are tried at both ends together first: where the verdict is the
same, each alone has it too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from bearings.engineering.filling import Filler
from bearings.engineering.headline import Headline, SubjectResult, headline_of
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Stack, guide_refs, item_refs
from bearings.engineering.ranges import Point, Unknown
from bearings.engineering.results import Finding
from bearings.engineering.situation import Kin, Situation
from bearings.engineering.subjects import SUBJECTS
from bearings.engineering.subjects.subject import (
    DUTY_FIELDS,
    LOAD_FIELDS,
    RANK,
    SEVERITY_RANK,
    WARM_FIELDS,
    Look,
    Subject,
    SubjectName,
    Verdict,
)
from bearings.engineering.worked_once import worked_once

# Stops that name every bearing that is too weak: one that is so only at the worst of the tries is named as well.
NAMED_AT_WORST: Final = frozenset({"static-safety"})
# What a load case or a load in it depends on.
LOADS_AND_CASES: Final = frozenset({*LOAD_FIELDS, *DUTY_FIELDS, "radial_load_n"})


Key = tuple[str, str | None, bool, str]


def _key(finding: Finding) -> Key:
    """Return what makes two findings of two tries the same one; a grouped one may name another bearing first.

    Backspin is a matter of its own, and so is a run uncoupled, and each joint where oil flows meet.
    """
    ref = None if finding.refs else finding.ref
    apart = str(finding.params.get("case")) if finding.code == "minimum-load" else ""
    if finding.code == "cage-temperature" and finding.ref is not None and finding.ref.startswith("g"):
        apart = finding.ref
    if finding.code == "opposed-oil-flow":
        apart = "+".join(finding.refs)
    return finding.code, ref, finding.params.get("speed") == "reverse", apart


def _named_at_worst(told: Finding, looks: list[Look]) -> Finding:
    """Return a finding with the bearings that the try with the least value over its limit names as well.

    Its figures stay those of the try that it is told of, which the results show.
    """
    same = [one for look in looks for one in look.findings if _key(one) == _key(told)]
    worst = min(same, key=lambda one: (one.value or 0.0) / (one.limit or 1.0))
    more = tuple(ref for ref in worst.refs if ref not in told.refs)
    return replace(told, refs=(*told.refs, *more)) if more else told


class Judgement:
    """All tries of one stack, each made once and only when a subject asks for it."""

    def __init__(self, stack: Stack) -> None:
        self.stack = stack
        self.filler = Filler(stack, item_refs(stack.items), guide_refs(stack.guides))
        self._situations: dict[Point, Situation] = {}
        self._by_parts: dict[tuple[int, int], Situation] = {}
        self._by_cold_loads: dict[Point, Situation] = {}
        self._by_loads: dict[Point, Situation] = {}
        self._load_numbers = [
            number for number, one in enumerate(self.unknown) if one.field in LOADS_AND_CASES
        ]
        self._cold_numbers = [n for n in self._load_numbers if self.unknown[n].field not in WARM_FIELDS]
        self._looks: dict[tuple[SubjectName, Point], Look] = {}
        self._bounded: dict[SubjectName, Verdict | None] = {}
        self._read: dict[SubjectName, list[int]] = {}

    @property
    def unknown(self) -> tuple[Unknown, ...]:
        """The ranged fields that nobody entered."""
        return self.filler.unknown

    @worked_once
    def middle_point(self) -> Point:
        """Every unknown field in the middle of its range."""
        return self.filler.everywhere("middle")

    @worked_once
    def middle(self) -> Situation:
        """The stack with every unknown field in the middle of its range."""
        return self.situation(self.middle_point)

    def situation(self, point: Point) -> Situation:
        """Return the stack with its unknown fields at a point."""
        found = self._situations.get(point)
        if found is None:
            filled, span = self.filler.stack_at(point), self.filler.heat_span_at(point)
            # The filler keeps like parts once and as long as this judgement lives.
            parts = id(filled.items), id(filled.guides)
            cold = tuple([point[number] for number in self._cold_numbers])
            loads = tuple([point[number] for number in self._load_numbers])
            kin = None
            if self._situations:
                first = next(iter(self._situations.values()))
                by_parts, by_cold = self._by_parts.get(parts), self._by_cold_loads.get(cold)
                kin = Kin(first, by_parts, by_cold, self._by_loads.get(loads))
            found = self._situations[point] = Situation(filled, self.stack, span, kin)
            self._by_parts.setdefault(parts, found)
            self._by_cold_loads.setdefault(cold, found)
            self._by_loads.setdefault(loads, found)
        return found

    def look(self, subject: Subject, point: Point) -> Look:
        """Return what a subject sees at a point."""
        key = subject.name, point
        found = self._looks.get(key)
        if found is None:
            found = self._looks[key] = subject.look(self.situation(point))
        return found

    def read_by(self, subject: Subject) -> list[int]:
        """Return the places of the unknown fields that can change what a subject says of this stack."""
        found = self._read.get(subject.name)
        if found is None:
            narrowed = subject.narrowed(self.middle) if self.unknown else None
            found = self._read[subject.name] = [
                number
                for number, one in enumerate(self.unknown)
                if (narrowed is None or one.field in narrowed) and subject.reads(one.field)
            ]
        return found

    def alone(self, number: int, place: int) -> Point:
        """Return the point with one field at a place and the rest in the middle."""
        return (*self.middle_point[:number], place, *self.middle_point[number + 1 :])

    def bounded(self, subject: Subject) -> Verdict | None:
        """Return the one verdict of a subject at both ends of all its one-way fields together, the rest in the middle.

        Then each of them alone has that verdict as well. None where the ends differ or there is no such field.
        """
        if subject.name not in self._bounded:
            ends = [
                self._with_ends(subject, self.middle_point, worse=worse)
                for worse in (False, True)
                if any(self.unknown[n].field in subject.one_way for n in self.read_by(subject))
            ]
            verdicts = {self.look(subject, point).verdict for point in ends}
            self._bounded[subject.name] = verdicts.pop() if len(verdicts) == 1 else None
        return self._bounded[subject.name]

    def _with_ends(self, subject: Subject, point: Point, *, worse: bool) -> Point:
        """Return a point with the one-way fields of a subject at their worse (or better) ends."""
        ends = list(point)
        for number in self.read_by(subject) if subject.one_way else ():
            one = self.unknown[number]
            better_high = subject.one_way.get(one.field)
            if better_high is not None:
                ends[number] = 0 if better_high is worse else one.high
        return tuple(ends)

    def verdict_alone(self, subject: Subject, number: int, place: int) -> Verdict:
        """Return the verdict of a subject with one field at a place and the rest in the middle."""
        if number not in self.read_by(subject):
            return self.look(subject, self.middle_point).verdict
        if self.unknown[number].field in subject.one_way:
            verdict = self.bounded(subject)
            if verdict is not None:
                return verdict
        return self.look(subject, self.alone(number, place)).verdict

    def _extremes(self, subject: Subject, numbers: list[int]) -> list[Point]:
        """Return the points with every field that a subject reads at the end that was worse, and at the better one."""
        points = [list(self._with_ends(subject, self.middle_point, worse=worse)) for worse in (True, False)]
        for number in numbers:
            if self.unknown[number].field in subject.one_way:
                continue
            places = self.unknown[number].alone
            looks = [(self.look(subject, self.alone(number, place)), place) for place in places]
            ranked = sorted(looks, key=lambda pair: (-RANK[pair[0].verdict], pair[0].margin))
            for point, (_look, place) in zip(points, (ranked[0], ranked[-1]), strict=True):
                point[number] = place
        return [tuple(point) for point in points]

    def _everywhere(self, which: str, numbers: list[int]) -> Point:
        """Return the point with all that a subject reads low, in the middle or high.

        What it does not read stays in the middle; but loads are solved for all subjects at one point.
        """
        point = self.filler.everywhere(which)
        read = set(numbers)
        if not read.isdisjoint(self._load_numbers):
            read.update(self._load_numbers)
        return tuple(
            place if number in read else middle
            for number, (place, middle) in enumerate(zip(point, self.middle_point, strict=True))
        )

    def tries(self, subject: Subject) -> list[Look]:
        """Return every look at a subject over the ranges."""
        numbers = self.read_by(subject)
        if not numbers:
            return [self.look(subject, self.middle_point)]
        points = [self._everywhere(which, numbers) for which in ("middle", "low", "high")]
        if self.bounded(subject) is not None:
            points += [self._with_ends(subject, self.middle_point, worse=worse) for worse in (False, True)]
            numbers = [n for n in numbers if self.unknown[n].field not in subject.one_way]
        points += [self.alone(n, place) for n in numbers for place in self.unknown[n].alone]
        extremes = self._extremes(subject, numbers)
        points += extremes
        if len({self.look(subject, point).verdict for point in points}) == 1:
            points += self._pushed(subject, numbers, extremes)
        return [self.look(subject, point) for point in dict.fromkeys(points)]

    def _pushed(self, subject: Subject, numbers: list[int], extremes: list[Point]) -> Iterator[Point]:
        """Yield the extremes with each field at the end that is worse (or better) there, the others as they are.

        What is OK everywhere so far can only turn worse, what stops only better.
        """
        verdict = self.look(subject, self.middle_point).verdict
        for point, worse in zip(extremes, (True, False), strict=True):
            if verdict == ("stop" if worse else "ok") or verdict == "not_proven":
                continue
            for number in numbers:
                others = [
                    (*point[:number], place, *point[number + 1 :]) for place in self.unknown[number].alone
                ]
                best = (max if worse else min)([point, *others], key=lambda one: self._badness(subject, one))
                point = best
            yield point

    def _badness(self, subject: Subject, point: Point) -> tuple[int, float]:
        look = self.look(subject, point)
        return RANK[look.verdict], -look.margin

    def differing(self, subject: Subject) -> list[int]:
        """Return the unknown fields whose own ends give a subject different verdicts."""
        found = []
        for number in self.read_by(subject):
            places = self.unknown[number].alone
            verdicts = {self.verdict_alone(subject, number, place) for place in places}
            if len(verdicts) > 1:
                found.append(number)
        return found

    def result(self, subject: Subject) -> SubjectResult:
        """Return the verdict of one subject."""
        if not subject.applies(self.middle):
            return SubjectResult(subject.name, False, "ok", subject.decides)
        looks = self.tries(subject)
        verdicts = {look.verdict for look in looks}
        verdict: Verdict = looks[0].verdict if len(verdicts) == 1 else "not_proven"
        kept = self._shared_findings(looks)
        if verdict in ("stop", "warn") and not any(one.severity == verdict for one in kept):
            # Every try stops, only not at the same bearing: the middle tells of one.
            told = {_key(one) for one in kept}
            own = tuple(one for one in looks[0].findings if one.severity == verdict and _key(one) not in told)
            kept = (*kept, *own)
        missing: tuple[Missing, ...] = ()
        if verdict == "not_proven":
            missing = self._missing(subject, looks)
        return SubjectResult(
            subject.name,
            True,
            verdict,
            subject.decides,
            kept,
            missing,
            ("stop" in verdicts or any(look.hides_stop for look in looks)) and verdict != "stop",
        )

    @staticmethod
    def _shared_findings(looks: list[Look]) -> tuple[Finding, ...]:
        """Return the findings that hold whatever the unknown fields are, each as mild as any try has it."""
        if len(looks) == 1:
            return looks[0].findings
        shared = set.intersection(*({_key(one) for one in look.findings} for look in looks))
        kept: dict[Key, Finding] = {}
        for look in looks:
            for one in look.findings:
                known = kept.get(_key(one))
                if _key(one) in shared and (
                    known is None or SEVERITY_RANK[one.severity] > SEVERITY_RANK[known.severity]
                ):
                    kept[_key(one)] = one
        return tuple(
            _named_at_worst(one, looks) if one.code in NAMED_AT_WORST else one for one in kept.values()
        )

    def _missing(self, subject: Subject, looks: list[Look]) -> tuple[Missing, ...]:
        """Return what would prove a subject: needed fields that every try lacks, then the ranges that decide."""
        needed = [gap for gap in looks[0].missing if all(gap in look.missing for look in looks)]
        numbers = self.differing(subject)
        verdicts = {look.verdict for look in looks}
        if not numbers and len(verdicts) > 1:
            numbers = self._together(subject, looks[0].verdict)
        ranged = [Missing(self.unknown[n].field, self.unknown[n].ref) for n in numbers]
        if not needed and not ranged:
            # Every try lacks something, only not the same.
            needed = [gap for look in looks for gap in look.missing]
        return tuple(dict.fromkeys([*needed, *ranged]))

    def _together(self, subject: Subject, verdict: Verdict) -> list[int]:
        """Return the fields that turn a verdict only together: each without which one of the tries would keep it."""
        for (name, point), look in list(self._looks.items()):
            if name == subject.name and look.verdict != verdict:
                found = [
                    n
                    for n in self.read_by(subject)
                    if self.look(subject, (*point[:n], self.middle_point[n], *point[n + 1 :])).verdict
                    == verdict
                ]
                if found:
                    return found
        return self.read_by(subject)

    @worked_once
    def results(self) -> tuple[SubjectResult, ...]:
        """Every subject, in the published order."""
        return tuple(self.result(subject) for subject in SUBJECTS)

    @worked_once
    def findings(self) -> tuple[Finding, ...]:
        """Every finding: stops first, then warnings, then notes, each in the order of the subjects."""
        found = [finding for result in self.results for finding in result.findings]
        return tuple(sorted(found, key=lambda finding: SEVERITY_RANK[finding.severity]))

    @worked_once
    def headline(self) -> Headline:
        """The one line that a reader acts on."""
        return headline_of(self.results)
