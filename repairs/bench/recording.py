"""What the recorder shows of one record: drawing, words, findings, list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import uuid4

from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.public import Assembly, Figures, arrangement_sentence, headline_values, parse_stack
from repairs.bench.recorder_rows import Refusal, list_rows, needed_permission
from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.cautions import GOVERNS, cautions_at_stage
from repairs.work_orders.headlines import HeadlineView, headline_of, headline_view
from repairs.work_orders.judging import (
    NEVER_ACCEPTED,
    FindingRow,
    Judgement,
    faces_unknown,
    finding_rows,
    folded,
    judge,
    limits_of,
    not_checked_rows,
    refs_of,
    stored_findings,
    stored_not_checked,
)
from repairs.work_orders.looked_for import ANSWERS, there
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.picturing import difference_marks, kept_picture, loads_of, picture, stored_loads
from repairs.work_orders.proposing import before_estimate
from repairs.work_orders.services.stack_signing import missing_before_signing
from repairs.work_orders.unproven import unproven, unproven_rows
from repairs.work_orders.warning_words import difference_text

Rows = list[dict[str, object]]
# The recorder shows so many findings at once; the rest opens on demand.
MOST_LINES: Final = 3


@dataclass(frozen=True, slots=True)
class Shown:
    """What is known of a record: of a signed one the stored answer, of an open one the checker's answer now."""

    stack: Assembly | None
    loads: Any
    words: str
    findings: list[FindingRow]
    not_checked: list[FindingRow]
    not_checked_count: int
    headline: HeadlineView | None
    unproven: list[FindingRow]


def shown_of(record: StackRecord, user: User, *, whole: bool = True) -> Shown:
    """Return what a page may say of a record; not ``whole``: of what was not checked only the first sentence."""
    stored = record.assessment if record.assessment_id else None
    units = user.unit_system
    if stored is not None:
        reasons = stored_not_checked(stored)
        return Shown(
            parse_stack(stored.stack),
            stored_loads(stored.answer),
            stored.answer["arrangement"]["words"],
            folded(finding_rows(stored_findings(stored), units)),
            not_checked_rows(reasons if whole else reasons[:1]),
            len(reasons),
            headline_view(stored.answer, stored_findings(stored), units),
            unproven_rows(unproven(stored.answer), reasons),
        )
    judgement = judge(record, record.job.motor, limits_of(record))
    rows, count = _not_checked(judgement, whole)
    assessment = judgement.assessment
    values = headline_values(assessment) if assessment is not None else None
    return Shown(
        judgement.stack,
        loads_of(judgement.assessment),
        arrangement_sentence(judgement.arrangement) if judgement.arrangement else "",
        folded(finding_rows(list(judgement.findings), units)),
        rows,
        count,
        headline_view(values, list(judgement.findings), units) if values else headline_of(judgement, units),
        unproven_rows(unproven(values), assessment.not_checked) if values and assessment else [],
    )


def _not_checked(judgement: Judgement, whole: bool) -> tuple[list[FindingRow], int]:
    if judgement.assessment is not None:
        reasons = list(judgement.assessment.not_checked)
        return not_checked_rows(reasons if whole else reasons[:1]), len(reasons)
    rows: list[FindingRow] = [{"severity": "not_checked", "title": text} for text in judgement.hindrances]
    return rows, len(rows)


def counted_directions(record: StackRecord) -> str:
    """Say how many bearings look each way: the first thing that somebody at the mount asks."""
    faces = [
        entry["data"].get("wide_face") for entry in record.items if entry["data"].get("kind") == "bearing"
    ]
    down, up = faces.count("down"), faces.count("up")
    unknown = sum(1 for ref, _entry in refs_of(record.items) if ref.isdigit()) - down - up
    words = [_("{count} down").format(count=down)] if down else []
    words += [_("{count} up").format(count=up)] if up else []
    if unknown and (down or up):
        words.append(
            ngettext("{count} without direction", "{count} without direction", unknown).format(count=unknown)
        )
    return f"{', '.join(words)}." if words else ""


def recorder_context(
    record: StackRecord,
    user: User,
    *,
    chosen: str = "",
    whole: bool = False,
    refusal: Refusal | None = None,
    typed: Mapping[str, Any] | None = None,
) -> dict[str, object]:
    """Return everything that the recorder's fragment shows. ``typed`` keeps what a refused or other act carried."""
    job, frozen, typed = record.job, record.is_frozen, typed or {}
    shown = shown_of(record, user, whole=whole)
    url = reverse("bench:stack", args=[job.number, record.stage])
    differing = difference_marks(record.differences) if frozen else {}
    rows = list_rows(record, chosen, differing, user.unit_system)
    return {
        "record": record,
        "job": job,
        "url": url,
        "form_key": uuid4().hex,
        "drawing": _drawing(record, shown, user, url, chosen, differing),
        "counted": counted_directions(record),
        "words": shown.words,
        "headline": shown.headline,
        "questions": _questions(shown.headline, record, url) if not frozen else [],
        **_parted(_with_acceptance([*shown.findings, *shown.unproven], record, user, typed)),
        "not_checked": shown.not_checked,
        "not_checked_more": shown.not_checked_count - len(shown.not_checked),
        "rows": rows,
        "chosen_row": next((row for row in rows if row["chosen"]), None),
        "differences": [difference_text(row, user.unit_system) for row in record.differences or [] if frozen],
        "as_specified": kept_picture(
            record.compared_with, units=user.units, prefix="specified", size="compact"
        )
        if frozen and record.differences and record.compared_with
        else "",
        "consequence": _consequence(record) if frozen and record.differences else "",
        "asked": asked_rows(record) if not frozen else [],
        "absent_words": [str(ANSWERS[one]) for one in record.absent] if frozen else [],
        "lacking": [] if frozen else missing_before_signing(record),
        "photo_count": getattr(record, "photo_count", 0),
        "frozen": frozen,
        "cautions": () if frozen else cautions_at_stage(record.stage),
        "governs": GOVERNS,
        # Whoever records again sees neither what differed nor what is specified.
        "blind": record.stage == Stage.AS_BUILT and not frozen,
        "refusal": refusal,
        "note": typed.get("note", record.note),
        "reason": typed.get("reason", ""),
        "may_record": not frozen and user.may(needed_permission(record.stage)),
        "may_begin": frozen
        and user.may(needed_permission(record.stage))
        and not _recorded_difference(record, user),
        "another_begins": frozen and _recorded_difference(record, user),
        "may_specify": frozen
        and record.is_proposal
        and user.may(Permission.APPROVE_STACKS)
        and not before_estimate(job),
        "may_approve": record.stage == Stage.SPECIFIED and user.may(Permission.APPROVE_STACKS),
    }


def _questions(headline: HeadlineView | None, record: StackRecord, url: str) -> Rows:
    """Return what the checker asks, with the page where it is typed: the part's own, or its motor's."""
    uids = {ref: entry["uid"] for ref, entry in refs_of(record.items)}
    uids |= {f"g{number}": entry["uid"] for number, entry in enumerate(record.guides, 1)}
    rows = []
    for question in headline.asks if headline else ():
        part = next((uids[ref] for ref in question.refs if ref in uids), None)
        of_motor = question.field.startswith(("motor.", "lubrication."))
        rows.append(
            {
                "question": question,
                "part_url": f"{url}item/{part}/" if part else "",
                "motor_url": reverse("office:motor", args=[record.job.motor_id]) if of_motor else "",
            }
        )
    return rows


def _parted(rows: list[FindingRow]) -> dict[str, object]:
    """Part what the recorder tells at once from what it tells on demand: three lines, and what awaits this reader."""
    graver = [row for row in rows if row["severity"] in {"stop", "warn"}]
    lines = graver[:MOST_LINES]
    rest = [row for row in rows if row not in lines]
    awaited = any(row.get("typed") or row.get("confirmable") for row in rest)
    return {"findings": lines, "more_findings": rest, "more_open": awaited}


def asked_rows(record: StackRecord) -> Rows:
    """Return what the recorder asks for and the list does not show: a button each, pressed when it is absent."""
    if record.stage != Stage.AS_FOUND:
        return []
    return [
        {
            "do": f"{'present' if asked in record.absent else 'absent'}:{asked}",
            "absent": asked in record.absent,
            "words": words,
        }
        for asked, words in ANSWERS.items()
        if asked in record.absent or not there(record, asked)
    ]


def _recorded_difference(record: StackRecord, user: User) -> bool:
    """Whether this person made a record that differed; then somebody else records again."""
    return bool(record.differences) and user.pk in {record.started_by_id, record.submitted_by_id}


def _consequence(record: StackRecord) -> str:
    """Say what a difference does to the life, by the stored answers of both records."""
    specified = record.compared_with
    lives = [
        one.assessment.answer["life"]["stack_l10h"] if one is not None and one.assessment else None
        for one in (record, specified)
    ]
    if lives[0] is None or lives[1] is None or round(lives[0]) == round(lives[1]):
        return ""
    now, before = (Figures().hours(life) for life in lives)
    return _("Life of the stack {now} instead of {before}.").format(now=now, before=before)


def _drawing(
    record: StackRecord, shown: Shown, user: User, url: str, chosen: str, differing: dict[str, str]
) -> str:
    if shown.stack is None or not shown.stack.items:
        return ""
    guides = {entry["uid"]: f"g{number}" for number, entry in enumerate(record.guides, 1)}
    refs = {entry["uid"]: ref for ref, entry in refs_of(record.items)} | guides
    uids = {ref: uid for uid, ref in refs.items()}

    def link(ref: str) -> dict[str, str]:
        address = f"{url}?item={uids.get(ref, '')}"
        return {
            "href": address,
            "hx-get": address,
            "hx-target": "#recorder",
            "hx-swap": "outerHTML",
            "hx-sync": "#recorder:abort",
        }

    drawn = picture(
        shown.stack,
        loads=shown.loads,
        units=user.units,
        size="compact" if differing else "full",  # beside the specified one, to be looked at only
        selected=refs.get(chosen),
        marks=differing,
        link=None if differing else link,
        summary=shown.words or None,
    )
    return mark_safe(drawn)  # made by bearings.drawing, which escapes every text


def _with_acceptance(
    rows: list[FindingRow], record: StackRecord, user: User, typed: Mapping[str, Any]
) -> list[FindingRow]:
    """Add who accepted a finding and why; to a lead, offer to accept those that may be accepted."""
    if record.stage != Stage.SPECIFIED:
        return rows
    accepted = {}
    if getattr(record, "any_accepted", True):
        accepted = {(one.code, one.ref): one for one in record.accepted_findings.all()}
    may_accept = not record.is_frozen and user.may(Permission.APPROVE_STACKS) and not faces_unknown(record)
    for row in rows:
        taken = accepted.get((row["code"], row["ref"]))
        if taken is not None:
            text = _("Accepted by {person}: {reason}")
            row["accepted"] = text.format(person=taken.person_name, reason=taken.reason)
            waits = taken.needs_second and taken.second_id is None
            row["accepted"] += f" · {taken.second_name}" if taken.second_name else ""
            row["accepted"] += " · " + _("waiting for a second person") if waits else ""
            if waits and taken.person_id != user.pk and user.may(Permission.CONFIRM_OVERRIDES):
                row["confirmable"] = f"{row['code']}:{row['ref']}"
        elif may_accept and row["severity"] != "note" and row["code"] not in NEVER_ACCEPTED:
            row["acceptable"] = key = f"{row['code']}:{row['ref']}"
            row["typed"] = typed.get(f"reason-{key}", "")
            row["typed_tell"] = typed.get(f"tell-{key}", "")
    return rows
