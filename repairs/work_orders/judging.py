"""From a stack record to the checker's answer, and back from a stored answer to sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, NotRequired, TypedDict

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from bearings.public import (
    ANSWER_VERSION,
    VERSION,
    ArrangementResult,
    Assembly,
    Assessment,
    Finding,
    Mistake,
    NotChecked,
    Stack,
    StackFileError,
    StoredAssessment,
    Units,
    WithoutSpeed,
    assessment_answer,
    check_stack,
    check_without_speed,
    checker_build,
    field_label,
    finding_sentence,
    not_checked_sentence,
    parse_guide,
    parse_item,
    parse_stack,
    sources_in_words,
    stack_values,
)
from repairs.motors.duty import duty_of, lubrication_of
from repairs.motors.models import Motor
from repairs.work_orders.entries import Entry
from repairs.work_orders.models import AcceptedFinding, ShopPolicy, StackRecord
from repairs.work_orders.warning_words import finding_of, tuples

# A thrust that nothing carries, or that a guide would carry which cannot, is only corrected, never accepted.
NEVER_ACCEPTED = frozenset(
    {
        "down-thrust-not-carried",
        "up-thrust-not-carried",
        "thrust-on-guide",
        "washers-part",
        "duty-not-carried",
        "guide-without-thrust",
    }
)
ONE_WAY_TYPES = frozenset({"angular_contact_ball", "spherical_roller_thrust"})


@dataclass(frozen=True, slots=True)
class Judgement:
    """What can be said of a record: a stack to draw, and an assessment when nothing hinders it.

    An unknown face hinders nothing: the checker says what it leaves open. ``hindrances`` are sentences on what is
    missing or wrong, ``lacks`` the fields that the checker cannot begin without. Directions need no motor: they are
    told of every record.
    """

    stack: Assembly | None
    assessment: Assessment | None
    hindrances: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    unknown_faces: tuple[str, ...] = ()
    arrangement: ArrangementResult | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def stops(self) -> list[Finding]:
        """Stop findings, also those that need no speed."""
        return [finding for finding in self.findings if finding.severity == "stop"]


def shop_limits() -> dict[str, object]:
    """Return the shop's overrides of the checker's policy."""
    row = ShopPolicy.objects.filter(pk=1).values_list("limits", flat=True).first()
    return dict(row or {})


def limits_of(record: StackRecord) -> dict[str, object]:
    """Return the shop's limits, as they came with the record or from their own row."""
    return dict(record.shop_limits or {}) if hasattr(record, "shop_limits") else shop_limits()


Measured = Callable[[StackRecord], Mapping[str, Mapping[str, Any]]]
_measured: list[Measured] = []


def add_measured(measured: Measured) -> None:
    """Let a room above the work orders tell what it measured of a record's bearings, by ref, when it is ready."""
    if measured not in _measured:
        _measured.append(measured)


def _with_measured(record: StackRecord) -> tuple[list[dict[str, object]], list[dict[str, object]]]:
    """Return parts and guides with what was measured of them; what a person typed of a bearing itself stands."""
    known: dict[str, dict[str, object]] = {}
    for measured in _measured:
        for ref, values in measured(record).items():
            known.setdefault(ref, {}).update(values)
    items = [{**known.get(ref, {}), **entry["data"]} for ref, entry in refs_of(record.items)]
    guides = [
        {**known.get(f"g{number}", {}), **entry["data"]} for number, entry in enumerate(record.guides, 1)
    ]
    return items, guides


def stack_file_of(record: StackRecord, motor: Motor, limits: dict[str, object]) -> dict[str, Any]:
    """Return a record as a stack file: the motor's duty, its oil, the shop's policy, the recorded parts."""
    items, guides = _with_measured(record)
    data: dict[str, object] = {
        "stack_file": 2,
        "motor": duty_of(motor),
        "lubrication": {**lubrication_of(motor), **record.lubrication},
        "items": items,
    }
    if limits:
        data["policy"] = limits
    if guides:
        data["guides"] = guides
    return data


@dataclass(frozen=True, slots=True)
class ReadRecord:
    """A record read as a stack file: the stack, or the mistakes that keep the checker from beginning."""

    data: dict[str, Any]
    stack: Stack | None
    mistakes: tuple[Mistake, ...] = ()


def read_record(record: StackRecord, motor: Motor, limits: dict[str, object]) -> ReadRecord:
    """Read a record as the stack file that is checked."""
    data = stack_file_of(record, motor, limits)
    try:
        return ReadRecord(data, parse_stack(data))
    except StackFileError as error:
        return ReadRecord(data, None, tuple(error.mistakes))


def judge(record: StackRecord, motor: Motor, limits: dict[str, object]) -> Judgement:
    """Check a record as it stands; whatever is unknown becomes a sentence, never an exception."""
    return judge_read(record, read_record(record, motor, limits))


def judge_read(record: StackRecord, read: ReadRecord, begun: Assessment | None = None) -> Judgement:
    """Check a record that was read already; a check of its stack that was begun is brought to its end."""
    if read.stack is None:
        return _judged_without_motor(record, read.data, read.mistakes)
    stack, assessment = read.stack, begun or check_stack(read.stack)
    return Judgement(
        stack=stack,
        assessment=assessment,
        hindrances=_faceless(record),
        unknown_faces=faces_unknown(record),
        arrangement=assessment.arrangement,
        findings=tuple(assessment.findings),
    )


def _faceless(record: StackRecord) -> tuple[str, ...]:
    """Return a sentence for every bearing whose face nobody entered."""
    words = _("bearing {ref}, {field}")
    labels = [words.format(ref=ref, field=field_label("wide_face")) for ref in faces_unknown(record)]
    return tuple(_("{field}: not known.").format(field=capfirst(label)) for label in labels)


_PLACE = re.compile(r"(items|guides)\[(\d+)\]")


def _hindrance(record: StackRecord, mistake: Mistake) -> str:
    """Say what hinders the check of a record: which field of which part, and what is wrong with it."""
    room, _dot, name = mistake.field.rpartition(".")
    place = _PLACE.fullmatch(room)
    if place is None and room not in {"motor", "lubrication"}:
        return mistake.message
    try:
        label = field_label(name)
    except KeyError:
        label = name
    if place is not None:
        at = int(place[2])
        ref = refs_of(record.items)[at][0] if place[1] == "items" else f"g{at + 1}"
        words = _("bearing {ref}, {field}") if ref.isdigit() else _("part {ref}, {field}")
        label = words.format(ref=ref, field=label)
    if mistake.value is None:
        return _("{field}: not known.").format(field=capfirst(label))
    return f"{capfirst(label)}: {mistake.message}"


def _judged_without_motor(
    record: StackRecord, data: Mapping[str, Any], mistakes: Sequence[Mistake]
) -> Judgement:
    told: WithoutSpeed | None = None
    with suppress(StackFileError):
        told = check_without_speed(data)
    return Judgement(
        stack=_drawable(record),
        assessment=None,
        hindrances=(*dict.fromkeys(_hindrance(record, one) for one in mistakes), *_faceless(record)),
        lacks=tuple(one.field for one in mistakes if one.value is None),
        unknown_faces=faces_unknown(record),
        arrangement=told.arrangement if told else None,
        findings=told.findings if told else (),
    )


def faces_unknown(record: StackRecord) -> tuple[str, ...]:
    """Return the refs of the one-way bearings and guides whose face is not known."""
    guides = ((f"g{number}", entry) for number, entry in enumerate(record.guides, 1))
    return tuple(ref for ref, entry in (*refs_of(record.items), *guides) if face_unknown(entry))


def face_unknown(entry: Mapping[str, Any]) -> bool:
    """Whether an entry is a one-way bearing whose face is not known."""
    data = entry["data"]
    return data.get("type") in ONE_WAY_TYPES and data.get("wide_face") not in {"up", "down"}


def _drawable(record: StackRecord) -> Assembly | None:
    """Return a stack good enough to draw: every item that can be read, whatever the motor lacks."""
    items, guides = [], []
    for entry in record.items:
        item, _mistakes = parse_item(entry["data"])
        if item is None:
            return None
        items.append(item)
    for entry in record.guides:
        guide, _mistakes = parse_guide(entry["data"])
        if guide is not None:
            guides.append(guide)
    return Assembly(items=tuple(items), guides=tuple(guides)) if items else None


def refs_of(entries: Sequence[Entry]) -> list[tuple[str, Entry]]:
    """Return the entries of a record with their refs: bearings 1, 2, ..., other parts a, b, ... from the top."""
    bearings = parts = 0
    found = []
    for entry in entries:
        if entry["data"].get("kind") == "bearing":
            bearings += 1
            found.append((str(bearings), entry))
        else:
            found.append((chr(ord("a") + parts), entry))
            parts += 1
    return found


def ref_of(entries: Sequence[Entry], uid: str) -> str:
    """Return the number or letter that an item has on the list now."""
    return next((ref for ref, entry in refs_of(entries) if entry["uid"] == uid), "")


def store_assessment(judgement: Judgement) -> StoredAssessment | None:
    """Keep an assessment as it is: inputs, answer, the figures behind each sentence, version."""
    if judgement.assessment is None:
        return None
    stored = unstored(judgement.assessment)
    stored.save()
    return stored


def unstored(assessment: Assessment) -> StoredAssessment:
    """Return an assessment in the form in which it is kept, without keeping it: pages read both alike."""
    answer = {
        **assessment_answer(assessment),
        "build": checker_build(),
        "finding_params": [dict(finding.params) for finding in assessment.findings],
        "not_checked_params": [
            {"reason": one.reason, "params": dict(one.params)} for one in assessment.not_checked
        ],
        "working": [line._asdict() for line in assessment.working],
    }
    severities = [finding.severity for finding in assessment.findings]
    worst = next((s for s in ("stop", "warn", "note") if s in severities), "")
    return StoredAssessment(
        engine_version=VERSION, stack=stack_values(assessment.stack), answer=answer, worst=worst
    )


def stored_findings(stored: StoredAssessment) -> list[Finding]:
    """Return the findings of a stored answer, ready for sentences in any language and unit."""
    params = stored.answer.get("finding_params", [])
    return [finding_of(row, own) for row, own in zip(stored.answer["findings"], params, strict=True)]


def stored_not_checked(stored: StoredAssessment) -> list[NotChecked | str]:
    """Return what a stored answer could not check: ready for sentences, or in its own words of its day.

    Answers of the first version named checks that no longer exist; they stay readable as they were written.
    """
    answer = stored.answer
    if answer.get("answer") != ANSWER_VERSION:
        return [f"{capfirst(row['check'])}: {row['reason']}" for row in answer["not_checked"]]
    rows = zip(answer["not_checked"], answer.get("not_checked_params", []), strict=True)
    return [
        NotChecked(
            check=row["check"],
            reason=own["reason"],
            params={key: tuples(value) for key, value in own["params"].items()},
        )
        for row, own in rows
    ]


class FindingRow(TypedDict):
    """A finding, or what could not be checked, as pages and papers show it; pages add who accepted it or may."""

    severity: str
    title: str
    text: NotRequired[str]
    code: NotRequired[str]
    ref: NotRequired[str]
    source: NotRequired[str]
    url: NotRequired[str]
    accepted: NotRequired[str]
    acceptance: NotRequired[AcceptedFinding | None]
    confirmable: NotRequired[str | bool]
    acceptable: NotRequired[str | bool]
    typed: NotRequired[str]
    typed_tell: NotRequired[str]


def finding_rows(findings: list[Finding], units: Units) -> list[FindingRow]:
    """Return findings as the pages and papers show them."""
    return [
        {
            "severity": finding.severity,
            "code": finding.code,
            "ref": finding.ref or "",
            "title": finding_sentence(finding, units),
            "source": sources_in_words(finding.source),
        }
        for finding in findings
    ]


def folded(rows: Sequence[FindingRow]) -> list[FindingRow]:
    """Return findings with what is told of the same code and part in one: the first leads, the others follow it.

    The checker tells the worst first. One acceptance covers them all, so they are one thing to accept.
    """
    lines: dict[tuple[str, str], FindingRow] = {}
    for row in rows:
        first = lines.setdefault((row["code"], row["ref"]), row)
        if first is not row and row["title"] != first["title"]:
            first["text"] = f"{first.get('text', '')} {row['title']}".strip()
    return list(lines.values())


def not_checked_rows(reasons: Sequence[NotChecked | str]) -> list[FindingRow]:
    """Return what was not checked as the pages and papers show it: parts that lack the same in one line."""
    lines: dict[str, tuple[NotChecked | str, list[str]]] = {}
    for one in reasons:
        if isinstance(one, str):
            lines.setdefault(one, (one, []))
            continue
        ref = one.params.get("ref")
        key = f"{one.check} {one.reason} {one.params.get('fields')} {ref is None}"
        refs = lines.setdefault(key, (one, []))[1]
        refs += [] if ref is None else [str(ref)]
    return [
        {
            "severity": "not_checked",
            "title": one if isinstance(one, str) else not_checked_sentence(one, list(dict.fromkeys(refs))),
        }
        for one, refs in lines.values()
    ]
