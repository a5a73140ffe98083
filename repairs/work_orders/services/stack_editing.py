"""Record a stack, one thing at a time. Every change names the version that its author saw."""

from __future__ import annotations

from typing import Any, Final
from uuid import uuid4

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from bearings.public import Rating, parse_guide, parse_item, rating_as_bearing
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import ONE_WAY_TYPES, ref_of
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.proposing import before_estimate
from repairs.work_orders.services.stack_changes import (
    Entries,
    Words,
    change_record,
    refuse_earlier_recorder,
)

MOST_ITEMS: Final = 20
NOTE_LENGTH: Final = 2000
OTHER_FACE: Final = {"up": "down", "down": "up"}
# What belongs to the one bearing in the hand, and stays when a rating of the book is copied onto it.
OF_THE_PIECE: Final = (
    "wide_face",
    "serial",
    "mark",
    "set_id",
    "pairing",
    "note",
    "stand_out_um",
    "fit_interference_um",
    "carries",
    "end_play_um",
)

MARKS_ONE_BEARING: Final = ("serial", "mark")


class InvalidItemError(WorkOrderError):
    """An item's fields are refused; ``mistakes`` maps each field to its sentence."""

    def __init__(self, mistakes: dict[str, str]) -> None:
        super().__init__(" ".join(mistakes.values()))
        self.mistakes = mistakes


def latest(job: Job, stage: str) -> StackRecord | None:
    """Return the newest revision of a stage."""
    return job.stack_records.filter(stage=stage).order_by("-revision").first()


@transaction.atomic
def start_record(
    *, actor: Actor, job: Job, stage: str, copy_from: StackRecord | None = None, reason: str = ""
) -> StackRecord:
    """Begin a stage, or its next revision with a reason; the one before stays readable.

    As built always begins blank, so that nobody copies what should be checked. What is specified before the estimate
    is a proposal.
    """
    job = lock_open_job(job)
    before = latest(job, stage)
    if before is not None and not before.is_frozen:
        raise WorkOrderError(
            _("Revision {number} of this stage is still being recorded.").format(number=before.revision)
        )
    if before is not None and not reason.strip():
        raise WorkOrderError(_("Enter the reason for a new revision."), "reason")
    if stage == Stage.AS_BUILT and copy_from is not None:
        raise WorkOrderError(_("Record as built from the motor. It cannot be copied."))
    record = StackRecord(
        job=job,
        stage=stage,
        revision=(job.stack_records.filter(stage=stage).aggregate(last=Max("revision"))["last"] or 0) + 1,
        items=[] if copy_from is None else _begun_with(copy_from, stage),
        guides=[] if copy_from is None else copy_from.guides,
        lubrication={} if copy_from is None else copy_from.lubrication,
        reason=reason.strip()[:300],
        is_proposal=stage == Stage.SPECIFIED and before_estimate(job),
        started_by_id=actor.person_id,
    )
    refuse_earlier_recorder(record, actor)
    record.save()
    record_event(
        actor=actor,
        verb="stack.started",
        subject=record,
        job_number=job.number,
        after={
            "stage": stage,
            "revision": record.revision,
            "copied": copy_from.pk if copy_from else None,
            "proposal": record.is_proposal,
            "version": record.version,
        },
        reason=reason,
    )
    return record


def _begun_with(source: StackRecord, stage: str) -> Entries:
    """Return the parts that a stage begins with. What marks one bearing found stays behind when a stack is specified.

    Other bearings go in as a rule, and a mark of the old one would stop the right one at the lay-out.
    """
    entries: Entries = source.items
    if source.stage != Stage.AS_FOUND or stage != Stage.SPECIFIED:
        return entries
    return [
        {
            **entry,
            "data": {key: value for key, value in entry["data"].items() if key not in MARKS_ONE_BEARING},
        }
        for entry in entries
    ]


def _find(entries: Entries, uid: str) -> int:
    for index, entry in enumerate(entries):
        if entry["uid"] == uid:
            return index
    raise WorkOrderError(_("This part is no longer on the list."))


def _called(entries: Entries, uid: str) -> Words:
    """Return how an event names a part: its lasting uid, and the number it had on the list."""
    return {"uid": uid, "ref": ref_of(entries, uid)}


def checked_item(data: dict[str, object], *, guide: bool = False) -> dict[str, object]:
    """Return an item's known fields, or raise InvalidItemError; a face that is not known is allowed here."""
    known = {key: value for key, value in data.items() if value not in (None, "")}
    _item, mistakes = parse_guide(known, "") if guide else parse_item(known, "")
    if mistakes:
        raise InvalidItemError({one.field.lstrip("."): one.message for one in mistakes})
    return known


def add_item(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    data: dict[str, Any],
    rating_id: int | None = None,
    place: int | None = None,
    form_key: str = "",
) -> StackRecord:
    """Put a part into the stack: at the bottom, or before a place counted from the top."""
    fields = checked_item(data)

    def change(now: StackRecord) -> tuple[Words, Words]:
        if len(now.items) >= MOST_ITEMS:
            raise WorkOrderError(_("A stack can have at most {count} parts.").format(count=MOST_ITEMS))
        at = len(now.items) if place is None else max(0, min(place, len(now.items)))
        uid = uuid4().hex[:8]
        entry = {"uid": uid, "rating_id": rating_id, "data": fields}
        now.items = [*now.items[:at], entry, *now.items[at:]]
        return {}, {**_called(now.items, uid), "data": fields, "place": at}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.item_added",
        change=change,
    )


def turn_over(
    *, actor: Actor, record: StackRecord, version: int, uid: str, form_key: str = ""
) -> StackRecord:
    """Turn a one-way bearing over; a face that is not known becomes down first."""

    def change(now: StackRecord) -> tuple[Words, Words]:
        at = _find(now.items, uid)
        data = now.items[at]["data"]
        if data.get("type") not in ONE_WAY_TYPES:
            raise WorkOrderError(_("This part is the same both ways."))
        face = data.get("wide_face", "")
        entry = {**now.items[at], "data": {**data, "wide_face": OTHER_FACE.get(face, "down")}}
        now.items = [*now.items[:at], entry, *now.items[at + 1 :]]
        called = _called(now.items, uid)
        return {**called, "wide_face": face}, {**called, "wide_face": entry["data"]["wide_face"]}

    return change_record(
        actor=actor, record=record, version=version, form_key=form_key, verb="stack.turned", change=change
    )


def move_item(
    *, actor: Actor, record: StackRecord, version: int, uid: str, place: int, form_key: str = ""
) -> StackRecord:
    """Move a part to a place counted from the top."""

    def change(now: StackRecord) -> tuple[Words, Words]:
        at = _find(now.items, uid)
        before = _called(now.items, uid)
        rest = [*now.items[:at], *now.items[at + 1 :]]
        to = max(0, min(place, len(rest)))
        now.items = [*rest[:to], now.items[at], *rest[to:]]
        return {**before, "place": at}, {**_called(now.items, uid), "place": to}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.item_moved",
        change=change,
    )


def edit_item(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    uid: str,
    data: dict[str, object],
    rating_id: int | None = None,
    form_key: str = "",
) -> StackRecord:
    """Replace the fields of a part."""
    fields = checked_item(data)

    def change(now: StackRecord) -> tuple[Words, Words]:
        at = _find(now.items, uid)
        entry = {"uid": uid, "rating_id": rating_id or now.items[at].get("rating_id"), "data": fields}
        before, after = changed_fields(now.items[at]["data"], fields)
        now.items = [*now.items[:at], entry, *now.items[at + 1 :]]
        called = _called(now.items, uid)
        return {**called, "data": before}, {**called, "data": after}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.item_edited",
        change=change,
    )


def changed_fields(
    before: dict[str, object], after: dict[str, object]
) -> tuple[dict[str, object], dict[str, object]]:
    """Return the fields that differ, as they were and as they are."""
    names = sorted(name for name in {*before, *after} if before.get(name) != after.get(name))
    return {name: before.get(name) for name in names}, {name: after.get(name) for name in names}


def copy_rating(
    *, actor: Actor, record: StackRecord, version: int, uid: str, rating: Rating, form_key: str = ""
) -> StackRecord:
    """Copy a rating of the book onto a bearing of the list; what belongs to the piece itself stays."""
    at = _find(record.items, uid)
    of_piece = {key: value for key, value in record.items[at]["data"].items() if key in OF_THE_PIECE}
    return edit_item(
        actor=actor,
        record=record,
        version=version,
        uid=uid,
        data={**item_from_rating(rating), **of_piece},
        rating_id=rating.pk,
        form_key=form_key,
    )


def remove_item(
    *, actor: Actor, record: StackRecord, version: int, uid: str, form_key: str = ""
) -> StackRecord:
    """Take a part, or a guide, off the list."""

    def change(now: StackRecord) -> tuple[Words, Words]:
        name = "guides" if any(entry["uid"] == uid for entry in now.guides) else "items"
        entries: Entries = getattr(now, name)
        at = _find(entries, uid)
        called = {"uid": uid, "ref": f"g{at + 1}" if name == "guides" else ref_of(entries, uid)}
        setattr(now, name, [*entries[:at], *entries[at + 1 :]])
        return {**called, "data": entries[at]["data"], "place": at}, {}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.item_removed",
        change=change,
    )


def save_guide(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    data: dict[str, object],
    uid: str | None = None,
    form_key: str = "",
) -> StackRecord:
    """Add a guide bearing elsewhere on the shaft, or replace its fields."""
    fields = checked_item(data, guide=True)

    def change(now: StackRecord) -> tuple[Words, Words]:
        at = len(now.guides) if uid is None else _find(now.guides, uid)
        old = (
            now.guides[at]
            if at < len(now.guides)
            else {"uid": uuid4().hex[:8], "rating_id": None, "data": {}}
        )
        before, after = changed_fields(old["data"], fields)
        now.guides = [*now.guides[:at], {**old, "data": fields}, *now.guides[at + 1 :]]
        called = {"uid": old["uid"], "ref": f"g{at + 1}"}
        return {**called, "data": before}, {**called, "data": after}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.guide_saved",
        change=change,
    )


def describe_record(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    top_identified: bool,
    note: str,
    form_key: str = "",
) -> StackRecord:
    """Say whether the top of the mount is identified, and what else is worth knowing."""

    def change(now: StackRecord) -> tuple[Words, Words]:
        before = {"top_identified": now.top_identified, "note": now.note}
        now.top_identified = top_identified
        now.note = note.strip()[:NOTE_LENGTH]
        return before, {"top_identified": top_identified, "note": now.note}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.described",
        change=change,
    )


def item_from_rating(rating: Rating, *, face: str | None = None) -> dict[str, Any]:
    """Return the fields of a new bearing from the book: the numbers are copied, with the source they come from."""
    data = rating_as_bearing(rating)
    return {**data, "wide_face": face} if face else data


def replace_items(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    items: Entries,
    guides: Entries,
    form_key: str = "",
) -> StackRecord:
    """Put a whole list in place of the recorded one, as a file brings it; undo takes it back."""
    for entry in items:
        checked_item(entry["data"])
    for entry in guides:
        checked_item(entry["data"], guide=True)

    def change(now: StackRecord) -> tuple[Words, Words]:
        before = {"items": len(now.items), "guides": len(now.guides)}
        now.items, now.guides = items, guides
        return before, {"items": len(items), "guides": len(guides)}

    return change_record(
        actor=actor,
        record=record,
        version=version,
        form_key=form_key,
        verb="stack.file_taken",
        change=change,
    )
