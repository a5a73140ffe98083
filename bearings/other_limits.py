"""What a stored answer comes to under other limits of the shop: only what reads a changed limit is judged again.

When a shop changes one limit, every stack that it ever signed is judged anew, and most of each answer cannot differ.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

from bearings.engineering.assessment import Assessment
from bearings.engineering.headline import SubjectResult, headline_verdict
from bearings.engineering.subjects import SUBJECT_OF_CODE, SUBJECTS
from bearings.engineering.subjects.subject import FILLED_BY, Subject, Verdict

POLICY: Final = "policy"


class Retold(NamedTuple):
    """What an answer comes to: the headline's verdict, and each finding as (severity, code, ref)."""

    verdict: Verdict
    findings: tuple[tuple[str, str, str], ...]


def changed_limits(before: Mapping[str, Any], now: Mapping[str, Any]) -> frozenset[str] | None:
    """Return the limits in which two stack files differ; None where they differ in anything else."""
    rooms = (before.keys() | now.keys()) - {POLICY}
    if any(before.get(room) != now.get(room) for room in rooms):
        return None
    old, new = before.get(POLICY, {}), now.get(POLICY, {})
    return frozenset(name for name in old.keys() | new.keys() if old.get(name) != new.get(name))


def _reads(subject: Subject, changed: frozenset[str]) -> bool:
    return subject.limits is None or not changed.isdisjoint(subject.limits | FILLED_BY)


def under_other_limits(
    assessment: Assessment, answer: Mapping[str, Any], changed: frozenset[str]
) -> Retold | None:
    """Return what a check under today's limits comes to; None where only the whole check can say it.

    ``answer`` is the stored one to the same stack by the same checker, ``changed`` the limits that differ since.
    """
    again = {one.name for one in SUBJECTS if _reads(one, changed)}
    stored, headline = {one["subject"]: one for one in answer["subjects"]}, answer["headline"]
    if len(again) == len(SUBJECTS) or stored.keys() != {one.name for one in SUBJECTS}:
        return None
    results: list[SubjectResult] = []
    for subject in SUBJECTS:
        kept = stored[subject.name]
        beside = kept["verdict"] == "not_proven" and not subject.decides
        if subject.name in again or (beside and headline["verdict"] == "stop"):
            # A headline that stops does not tell whether what is open beside it may stop as well.
            again.add(subject.name)
            results.append(assessment.judgement.result(subject))
            continue
        may_stop = beside and headline["verdict"] == "not_proven" and subject.name in headline["because"]
        results.append(
            SubjectResult(
                subject.name, kept["applies"], kept["verdict"], subject.decides, stop_in_range=may_stop
            )
        )
    told = [
        (row["severity"], row["code"], row["ref"] or "")
        for row in answer["findings"]
        if SUBJECT_OF_CODE[row["code"]] not in again
    ]
    told += [
        (one.severity, one.code, one.ref or "")
        for result in results
        if result.subject in again
        for one in result.findings
    ]
    return Retold(headline_verdict(results)[0], tuple(told))
