"""Subjects of a stack that could not be proven: a lead approves the stack only with a reason for each that decides.

A reason is kept like an accepted finding, under a code of the subject.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from bearings.public import ANSWER_VERSION, NotChecked, headline_values, reason_sentence, subject_label
from repairs.work_orders.judging import FindingRow, Judgement

CODE: Final = "not-proven-"


def unproven(answer: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the subjects of an answer that decide and could not be proven; answers of before name none."""
    if answer.get("answer") != ANSWER_VERSION:
        return ()
    return tuple(
        row["subject"]
        for row in answer["subjects"]
        if row["applies"] and row["decides"] and row["verdict"] == "not_proven"
    )


def unproven_of(judgement: Judgement) -> tuple[str, ...]:
    """Return the same of a record that is checked as it stands; none while nothing can be checked."""
    return unproven(headline_values(judgement.assessment)) if judgement.assessment is not None else ()


def code_of(subject: str) -> str:
    """Return the code under which a reason for a subject is kept."""
    return f"{CODE}{subject}"


def severities(judgement: Judgement) -> dict[tuple[str, str], str]:
    """Return what can be accepted of a record now: its findings, and its subjects that are not proven.

    Of a stack with a face that nobody entered nothing is: the face is entered first.
    """
    if judgement.unknown_faces:
        return {}
    open_ = {(code_of(subject), ""): "not_proven" for subject in unproven_of(judgement)}
    return open_ | {(one.code, one.ref or ""): one.severity for one in judgement.findings}


def unproven_rows(subjects: Sequence[str], reasons: Sequence[NotChecked | str]) -> list[FindingRow]:
    """Return a row for each subject, as pages and papers show findings: what it lacks, and under which code."""
    lacks = {subject: _lacking(subject, reasons) for subject in subjects}
    text = _("{subject}. {lacks}")
    return [
        {
            "severity": "not_proven",
            "code": code_of(subject),
            "ref": "",
            "title": text.format(subject=subject_label(subject), lacks=lacks[subject]).strip(),
            "source": "",
        }
        for subject in subjects
    ]


def _lacking(subject: str, reasons: Sequence[NotChecked | str]) -> str:
    """Say what a subject lacks, like bearings in one: bearings 1, 2 and 3, not entered: pairing."""
    told: dict[str, NotChecked] = {}
    refs: dict[str, list[str]] = {}
    for one in reasons:
        if isinstance(one, NotChecked) and one.check == subject:
            key = f"{one.reason} {one.params.get('fields')}"
            told.setdefault(key, one)
            refs.setdefault(key, []).extend(str(ref) for ref in (one.params.get("ref"),) if ref is not None)
    return " ".join(f"{capfirst(reason_sentence(one, refs=refs[key]))}." for key, one in told.items())
