"""What is compared between a stored answer and a new one: margin, life, severity, findings. No database here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isclose
from typing import Any, Final

from bearings.public import Assessment, Retold

UNCHECKED: Final = "unchecked"
NOT_PROVEN: Final = "not_proven"
_RANK: Final = {"": 0, "warn": 1, NOT_PROVEN: 2, UNCHECKED: 3, "stop": 4}
# A stored figure comes back from JSON as it was; this is for a checker that sums in another order.
_SAME: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What an answer comes to.

    ``margin`` is the smallest over the motor's speeds, None where a bearing has no usable speed: what is unknown
    is no margin. ``worst`` is the verdict of the headline, empty for OK; of an answer from before there were headlines
    (not ``by_headline``) its gravest finding. ``findings`` are the stops and warnings, as (severity, code, ref).
    """

    margin: float | None = None
    speed: str = ""
    l10h: float | None = None
    l10mh: float | None = None
    worst: str = UNCHECKED
    by_headline: bool = False
    findings: frozenset[tuple[str, str, str]] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """How one outcome follows another, with the stops and warnings that appeared and those that are gone."""

    changed: bool
    worse: bool
    appeared: tuple[tuple[str, str, str], ...]
    gone: tuple[tuple[str, str, str], ...]

    @property
    def became_stop(self) -> bool:
        return bool(self.new_stops)

    @property
    def new_stops(self) -> tuple[tuple[str, str], ...]:
        return tuple((code, ref) for severity, code, ref in self.appeared if severity == "stop")


def outcome_of_answer(answer: Mapping[str, Any] | None) -> Outcome:
    """Return the outcome of a stored answer; a record without one was never checked."""
    if answer is None:
        return Outcome()
    speed, life = answer["speed"], answer["life"]
    margins = [(row["margin"], row["speed"]) for row in speed["margins"]] if speed["complete"] else []
    found = [(row["severity"], row["code"], row["ref"] or "") for row in answer["findings"]]
    headline = answer.get("headline")
    return _outcome(
        margins, life["stack_l10h"], life["stack_l10mh"], found, headline["verdict"] if headline else ""
    )


def outcome_of_assessment(assessment: Assessment | None) -> Outcome:
    """Return the outcome of a check made just now; None could not be checked."""
    if assessment is None:
        return Outcome()
    found = [(str(one.severity), one.code, one.ref or "") for one in assessment.findings]
    return outcome_of_retold(assessment, Retold(assessment.headline.verdict, tuple(found)))


def outcome_of_retold(assessment: Assessment, retold: Retold) -> Outcome:
    """Return the outcome of a check whose verdict and findings were told without the whole of it."""
    speed, life = assessment.speed, assessment.life
    margins = [(row.margin, str(row.speed)) for row in speed.margins] if speed.complete else []
    return _outcome(margins, life.stack_l10h, life.stack_l10mh, list(retold.findings), retold.verdict)


def _outcome(
    margins: list[tuple[float, str]],
    l10h: float | None,
    l10mh: float | None,
    found: list[tuple[str, str, str]],
    headline: str,
) -> Outcome:
    margin, speed = min(margins, default=(None, ""))
    graver = frozenset(one for one in found if one[0] in {"stop", "warn"})
    gravest = max((severity for severity, _code, _ref in graver), key=_RANK.__getitem__, default="")
    return Outcome(
        margin=margin,
        speed=speed,
        l10h=l10h,
        l10mh=l10mh,
        worst=headline.replace("ok", "") if headline else gravest,
        by_headline=bool(headline),
        findings=graver,
    )


def follow(before: Outcome, after: Outcome) -> Verdict:
    """Say how a new outcome follows the stored one."""
    pairs = (
        (before.margin, after.margin),
        (before.l10h, after.l10h),
        (before.l10mh, after.l10mh),
    )
    moved = [(old, new) for old, new in pairs if not _same(old, new)]
    # What an answer of before the headlines left open, it did not say.
    turned = before.worst != after.worst and (before.by_headline or after.worst != NOT_PROVEN)
    changed = bool(moved) or turned or before.findings != after.findings
    worse = (
        (turned and _RANK[after.worst] > _RANK[before.worst])
        or bool(after.findings - before.findings)
        or any(old is not None and (new is None or new < old) for old, new in moved)
    )
    return Verdict(
        changed=changed,
        worse=changed and worse,
        appeared=tuple(sorted(after.findings - before.findings)),
        gone=tuple(sorted(before.findings - after.findings)),
    )


def _same(old: float | None, new: float | None) -> bool:
    if old is None or new is None:
        return old is new
    return isclose(old, new, rel_tol=_SAME, abs_tol=_SAME)
