"""Record a stack, one thing at a time. Every change names the version that its author saw."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from bearings.public import Rating, parse_guide, parse_item
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import face_unknown
from repairs.work_orders.models import Job, StackRecord, Stage

Entries = list[dict[str, Any]]
KEPT_UNDOS = 20
MOST_ITEMS = 20
OTHER_FACE = {"up": "down", "down": "up"}


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
    """Begin a stage's next revision. As built always begins blank, so that nobody copies what should be checked."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.state != Job.State.OPEN:
        raise WorkOrderError(_("This job has ended."))
    before = latest(job, stage)
    if before is not None and not before.is_frozen:
        raise WorkOrderError(
            _("Revision {number} of this stage is still being recorded.").format(number=before.revision)
        )
    if before is not None and not reason.strip():
        raise WorkOrderError(_("Say why a new revision is made."), "reason")
    if stage == Stage.AS_BUILT and copy_from is not None:
        raise WorkOrderError(_("As built is recorded from the motor, not copied."))
    record = StackRecord.objects.create(
        job=job,
        stage=stage,
        revision=(job.stack_records.filter(stage=stage).aggregate(last=Max("revision"))["last"] or 0) + 1,
        items=[] if copy_from is None else copy_from.items,
        guides=[] if copy_from is None else copy_from.guides,
        lubrication={} if copy_from is None else copy_from.lubrication,
        reason=reason.strip(),
        started_by_id=actor.person_id,
    )
    record_event(
        actor=actor,
        verb="stack.started",
        subject=record,
        job_number=job.number,
        after={"stage": stage, "revision": record.revision, "copied": copy_from.pk if copy_from else None},
        reason=reason,
    )
    return record


def _change(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    verb: str,
    change: Callable[[StackRecord], dict[str, Any]],
) -> StackRecord:
    """Apply a change to the record as it stands now, unless it was changed since its author saw it."""
    with transaction.atomic():
        now = (
            StackRecord.objects.select_for_update(of=("self",))
            .select_related("job", "job__motor")
            .get(pk=record.pk)
        )
        if now.is_frozen:
            raise WorkOrderError(_("This record is signed. Make a new revision to change it."))
        if now.version != version:
            raise StaleVersionError(
                _("Somebody changed this record meanwhile. Look at it as it is now, then repeat your change.")
            )
        kept = {"items": now.items, "guides": now.guides}
        words = change(now)
        now.undo = [*now.undo[-(KEPT_UNDOS - 1) :], kept]
        now.version += 1
        now.save(
            update_fields=["items", "guides", "lubrication", "undo", "version", "top_identified", "note"]
        )
        record_event(actor=actor, verb=verb, subject=now, job_number=now.job.number, after=words)
        return now


def _find(entries: Entries, uid: str) -> int:
    for index, entry in enumerate(entries):
        if entry["uid"] == uid:
            return index
    raise WorkOrderError(_("This part is no longer on the list."))


def checked_item(data: dict[str, Any], *, guide: bool = False) -> dict[str, Any]:
    """Return an item's known fields, or raise InvalidItemError; a face that is not known is allowed here."""
    known = {key: value for key, value in data.items() if value not in (None, "")}
    trial = dict(known)
    if not guide and face_unknown({"data": known}):
        trial["wide_face"] = "down"
    _item, mistakes = parse_guide(trial, "") if guide else parse_item(trial, "")
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
) -> StackRecord:
    """Put a part into the stack: at the bottom, or before a place counted from the top."""
    fields = checked_item(data)

    def change(now: StackRecord) -> dict[str, Any]:
        if len(now.items) >= MOST_ITEMS:
            raise WorkOrderError(_("A stack holds at most {count} parts.").format(count=MOST_ITEMS))
        at = len(now.items) if place is None else max(0, min(place, len(now.items)))
        entry = {"uid": uuid4().hex[:8], "rating_id": rating_id, "data": fields}
        now.items = [*now.items[:at], entry, *now.items[at:]]
        return {"added": fields, "place": at}

    return _change(actor=actor, record=record, version=version, verb="stack.item_added", change=change)


def turn_over(*, actor: Actor, record: StackRecord, version: int, uid: str) -> StackRecord:
    """Turn a one-way bearing over; a face that is not known becomes down first."""

    def change(now: StackRecord) -> dict[str, Any]:
        at = _find(now.items, uid)
        data = now.items[at]["data"]
        if data.get("type") not in {"angular_contact_ball", "spherical_roller_thrust"}:
            raise WorkOrderError(_("This part looks the same both ways."))
        face = OTHER_FACE.get(data.get("wide_face", ""), "down")
        entry = {**now.items[at], "data": {**data, "wide_face": face}}
        now.items = [*now.items[:at], entry, *now.items[at + 1 :]]
        return {"uid": uid, "wide_face": face}

    return _change(actor=actor, record=record, version=version, verb="stack.turned", change=change)


def move_item(*, actor: Actor, record: StackRecord, version: int, uid: str, place: int) -> StackRecord:
    """Move a part to a place counted from the top."""

    def change(now: StackRecord) -> dict[str, Any]:
        at = _find(now.items, uid)
        rest = [*now.items[:at], *now.items[at + 1 :]]
        to = max(0, min(place, len(rest)))
        now.items = [*rest[:to], now.items[at], *rest[to:]]
        return {"uid": uid, "from": at, "to": to}

    return _change(actor=actor, record=record, version=version, verb="stack.item_moved", change=change)


def edit_item(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    uid: str,
    data: dict[str, Any],
    rating_id: int | None = None,
) -> StackRecord:
    """Replace the fields of a part."""
    fields = checked_item(data)

    def change(now: StackRecord) -> dict[str, Any]:
        at = _find(now.items, uid)
        before = now.items[at]["data"]
        entry = {"uid": uid, "rating_id": rating_id or now.items[at].get("rating_id"), "data": fields}
        now.items = [*now.items[:at], entry, *now.items[at + 1 :]]
        changed = {key for key in {*before, *fields} if before.get(key) != fields.get(key)}
        return {
            "uid": uid,
            "before": {k: before.get(k) for k in changed},
            "after": {k: fields.get(k) for k in changed},
        }

    return _change(actor=actor, record=record, version=version, verb="stack.item_edited", change=change)


def remove_item(*, actor: Actor, record: StackRecord, version: int, uid: str) -> StackRecord:
    """Take a part, or a guide, off the list."""

    def change(now: StackRecord) -> dict[str, Any]:
        if any(entry["uid"] == uid for entry in now.guides):
            at = _find(now.guides, uid)
            gone = now.guides[at]
            now.guides = [*now.guides[:at], *now.guides[at + 1 :]]
        else:
            at = _find(now.items, uid)
            gone = now.items[at]
            now.items = [*now.items[:at], *now.items[at + 1 :]]
        return {"removed": gone["data"]}

    return _change(actor=actor, record=record, version=version, verb="stack.item_removed", change=change)


def save_guide(
    *, actor: Actor, record: StackRecord, version: int, data: dict[str, Any], uid: str | None = None
) -> StackRecord:
    """Add a guide bearing elsewhere on the shaft, or replace its fields."""
    fields = checked_item(data, guide=True)

    def change(now: StackRecord) -> dict[str, Any]:
        if uid is None:
            now.guides = [*now.guides, {"uid": uuid4().hex[:8], "rating_id": None, "data": fields}]
        else:
            at = _find(now.guides, uid)
            now.guides = [*now.guides[:at], {**now.guides[at], "data": fields}, *now.guides[at + 1 :]]
        return {"guide": fields}

    return _change(actor=actor, record=record, version=version, verb="stack.guide_saved", change=change)


def describe_record(
    *, actor: Actor, record: StackRecord, version: int, top_identified: bool, note: str
) -> StackRecord:
    """Say whether the top of the mount is identified, and what else is worth knowing."""

    def change(now: StackRecord) -> dict[str, Any]:
        now.top_identified = top_identified
        now.note = note.strip()[:2000]
        return {"top_identified": top_identified, "note": now.note}

    return _change(actor=actor, record=record, version=version, verb="stack.described", change=change)


def undo_change(*, actor: Actor, record: StackRecord, version: int) -> StackRecord:
    """Take the last change of the list back."""
    with transaction.atomic():
        now = (
            StackRecord.objects.select_for_update(of=("self",))
            .select_related("job", "job__motor")
            .get(pk=record.pk)
        )
        if now.is_frozen or not now.undo:
            raise WorkOrderError(_("There is nothing to take back."))
        if now.version != version:
            raise StaleVersionError(_("Somebody changed this record meanwhile. Look at it as it is now."))
        kept = now.undo[-1]
        now.items, now.guides, now.undo = kept["items"], kept["guides"], now.undo[:-1]
        now.version += 1
        now.save(update_fields=["items", "guides", "undo", "version"])
        record_event(actor=actor, verb="stack.undone", subject=now, job_number=now.job.number)
        return now


def item_from_rating(rating: Rating, *, face: str | None = None) -> dict[str, Any]:
    """Return the fields of a new bearing from the book: the numbers are copied, with the source they come from."""
    data: dict[str, Any] = {
        "kind": "bearing",
        "type": rating.type,
        "designation": rating.designation,
        "maker": rating.source.maker,
        "variant": rating.variant,
        "cage": rating.cage,
        "source": str(rating.source)[:200],
        "bore_mm": rating.bore_mm,
        "outside_diameter_mm": rating.outside_diameter_mm,
        "height_mm": rating.height_mm,
        **rating.figures,
    }
    if face:
        data["wide_face"] = face
    return {key: value for key, value in data.items() if value not in (None, "")}


def replace_items(
    *, actor: Actor, record: StackRecord, version: int, items: Entries, guides: Entries
) -> StackRecord:
    """Put a whole list in place of the recorded one, as a file brings it; undo takes it back."""
    for entry in items:
        checked_item(entry["data"])
    for entry in guides:
        checked_item(entry["data"], guide=True)

    def change(now: StackRecord) -> dict[str, Any]:
        now.items, now.guides = items, guides
        return {"items": len(items), "guides": len(guides)}

    return _change(actor=actor, record=record, version=version, verb="stack.file_taken", change=change)
