"""The headline of a stack as recorder, office, papers and lists show it: verdict, what decides it, what to enter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.utils.translation import gettext as _

from bearings.public import (
    ANSWER_VERSION,
    LOOKED_UP,
    Finding,
    Units,
    asks_sentence,
    headline_sentence,
    headline_values,
    look_up_order,
    subject_label,
    verdict_label,
)
from repairs.work_orders.judging import Judgement
from repairs.work_orders.questions import Choice, choices_of

# How a verdict is told by word and rule weight; an answer of before has its gravest finding instead.
SHOWN_SEVERITY: Final = {"stop": "stop", "warn": "warn", "ok": "ok", "not_proven": "not_proven"}


@dataclass(frozen=True, slots=True)
class SubjectLine:
    """One subject with its verdict, for the list behind the headline."""

    name: str
    label: str
    verdict: str
    severity: str
    words: str


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to enter: in words, of which parts, and the answers that one tap gives."""

    field: str
    words: str
    refs: tuple[str, ...]
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class HeadlineView:
    """What a reader acts on first. ``asks`` are at most three questions, each settles most of what is open.

    ``words`` tell the gravest finding; ``decided_by`` names the subjects alone, for pages that show that finding
    below, and is empty where there is none.
    """

    verdict: str
    label: str
    severity: str
    words: str
    decided_by: str
    asks: tuple[Question, ...]
    subjects: tuple[SubjectLine, ...]
    unproven: tuple[SubjectLine, ...]


def headline_view(answer: Mapping[str, Any], findings: list[Finding], units: Units) -> HeadlineView:
    """Return the headline of an answer, stored or made just now; ``findings`` are that answer's."""
    if answer.get("answer") != ANSWER_VERSION:
        return _of_before(findings, units)
    headline = answer["headline"]
    lines = tuple(
        SubjectLine(
            row["subject"],
            subject_label(row["subject"]),
            row["verdict"],
            SHOWN_SEVERITY[row["verdict"]],
            verdict_label(row["verdict"]),
        )
        for row in answer["subjects"]
        if row["applies"]
    )
    return HeadlineView(
        headline["verdict"],
        verdict_label(headline["verdict"]),
        SHOWN_SEVERITY[headline["verdict"]],
        headline_sentence(headline["verdict"], headline["because"], findings, units),
        _decided_by(headline, findings),
        tuple(_asks(answer, row["field"]) for row in headline["ask"]),
        lines,
        tuple(line for line in lines if line.verdict == "not_proven"),
    )


def _decided_by(headline: Mapping[str, Any], findings: list[Finding]) -> str:
    """Name the subjects that decide where a finding below tells the rest; what only data decide is told in words."""
    told = any(one.severity == headline["verdict"] for one in findings)
    return ", ".join(subject_label(one) for one in headline["because"]) if told else ""


def headline_of(judgement: Judgement, units: Units) -> HeadlineView | None:
    """Return the headline of a record that is checked as it stands; None where nothing is on the list yet.

    Where the checker cannot begin, a stop among the directions is told all the same, and nothing else is proven.
    """
    findings = list(judgement.findings)
    if judgement.assessment is not None:
        return headline_view(headline_values(judgement.assessment), findings, units)
    if judgement.stack is None:
        return None
    asked: list[tuple[str, tuple[str, ...]]] = [
        (field, ()) for field in judgement.lacks if field.startswith("motor.")
    ]
    if judgement.unknown_faces:
        asked.append(("wide_face", judgement.unknown_faces))
    asks = tuple(
        Question(field, asks_sentence(field, refs), refs, choices_of(field)) for field, refs in asked
    )
    if judgement.stops:
        verdict, words = "stop", headline_sentence("stop", (), findings, units)
    else:
        verdict = "not_proven"
        words = _("NOT PROVEN. {missing}").format(missing=" ".join(judgement.hindrances[:3]))
    label = verdict_label(verdict)
    return HeadlineView(verdict, label, SHOWN_SEVERITY[verdict], words, "", asks[:3], (), ())


def _asks(answer: Mapping[str, Any], field: str) -> Question:
    """Return a question with every part it is asked of; what one look-up answers is one question."""
    missing = [gap for row in _unproven_first(answer) for gap in row["missing"]]
    fields = {field}
    if field in LOOKED_UP:
        fields |= {gap["field"] for gap in missing if gap["field"] in LOOKED_UP}
    told = [gap for gap in missing if gap["field"] in fields]
    refs = tuple(dict.fromkeys(gap["ref"] for gap in told if gap["ref"] is not None))
    first, *also = look_up_order({gap["field"] for gap in told} or fields)
    return Question(field, asks_sentence(first, refs, also), refs, choices_of(field))


def _unproven_first(answer: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return what is not proven, the subjects that decide first, as a headline counts them."""
    unproven = [row for row in answer["subjects"] if row["verdict"] == "not_proven"]
    return sorted(unproven, key=lambda row: not row["decides"])


def _of_before(findings: list[Finding], units: Units) -> HeadlineView:
    """Return the headline of an answer that had none: its gravest finding, and that nobody judged the rest."""
    worst = next((grade for grade in ("stop", "warn") if any(one.severity == grade for one in findings)), "")
    if not worst:
        words = _("Checked by an older version: no STOP, no WARN.")
        return HeadlineView("ok", verdict_label("ok"), "ok", words, "", (), (), ())
    words = headline_sentence(worst, (), findings, units)
    return HeadlineView(worst, verdict_label(worst), worst, words, "", (), (), ())


def entered_cases(answer: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return the load cases whose thrust was entered; one taken from a range is no fact to print."""
    return [case for case in answer["cases"] if not case.get("ranged")]
