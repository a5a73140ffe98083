"""How a change of a stack record is made: against the version its author saw, once, with a way back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from django.db import models, transaction
from django.utils.translation import gettext as _

from repairs.ledger.models import Event
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.entries import Entry
from repairs.work_orders.errors import AnothersEntryError, StaleVersionError, WorkOrderError
from repairs.work_orders.looks import disagreements
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.open_job import lock_open_job

Entries = list[Entry]
Words = dict[str, Any]
KEPT_UNDOS: Final = 20
# The verbs of change_record: each puts one step on the way back.
UNDOABLE: Final = frozenset(
    f"stack.{act}"
    for act in (
        "answered", "candidate_used", "described", "file_taken", "guide_saved", "item_added", "item_edited",
        "item_moved", "item_removed", "turned",
    )
)  # fmt: skip
LISTED = ("items", "guides", "top_identified", "note", "absent")


class StaleRecordError(StaleVersionError):
    """Somebody else changed the record meanwhile; ``record`` is its newer state, ``events`` what they did."""

    def __init__(self, record: StackRecord, events: list[Event]) -> None:
        super().__init__(_("Someone else changed this stack. Check it, then make your change again."))
        self.record = record
        self.events = events


def newer_state(record: StackRecord) -> StackRecord:
    """Return a record as it stands in the database now."""
    return StackRecord.objects.for_recorder().get(pk=record.pk)


def stale(record: StackRecord, version: int) -> StaleRecordError:
    """Return the refusal of a change that saw an older version, with what happened since."""
    now = newer_state(record)
    events = Event.objects.filter(subject_type="stackrecord", subject_id=str(now.pk)).order_by("-id")
    since = [one for one in events[: KEPT_UNDOS + 1] if (one.after or {}).get("version", 0) > version]
    return StaleRecordError(now, since[::-1])


def carried_out(*, actor: Actor, record: StackRecord, form_key: str) -> bool:
    """Whether this person's form was carried out before: it then finds its own event."""
    if not form_key:
        return False
    return _own_events(actor, record, form_key).exists()


def version_made(*, actor: Actor, record: StackRecord, form_key: str) -> int | None:
    """Return the version that this person's form made of a record, however often it arrived."""
    event = _own_events(actor, record, form_key).first() if form_key else None
    made = (event.after or {}).get("version") if event is not None else None
    return made if isinstance(made, int) else None


def _own_events(actor: Actor, record: StackRecord, form_key: str) -> models.QuerySet[Event]:
    return Event.objects.filter(
        subject_type="stackrecord",
        subject_id=str(record.pk),
        actor_id=actor.user_id,
        after__form_key=form_key,
    )


def as_seen(record: StackRecord, version: int) -> StackRecord:
    """Return the record in the version that the author saw, its open job locked, or refuse."""
    lock_open_job(record.job_id)
    now = record if record.version == version else newer_state(record)
    if now.is_frozen:
        raise WorkOrderError(_("This record is signed. Make a new revision to change it."))
    if now.version != version:
        raise stale(record, version)
    return now


def change_record(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    form_key: str,
    verb: str,
    change: Callable[[StackRecord], tuple[Words, Words]],
) -> StackRecord:
    """Apply a change once. ``change`` alters the record in memory and returns before and after for the ledger.

    The row is written only where it still has the version that the author saw, whoever else changes it.
    """

    def work(now: StackRecord) -> tuple[Words, Words]:
        was = {name: getattr(now, name) for name in LISTED}
        words = change(now)
        now.undo = [*now.undo[-(KEPT_UNDOS - 1) :], way_back(was, now)]
        return words

    return _once(actor, record, version, form_key, verb, work)


def undo_change(
    *, actor: Actor, record: StackRecord, version: int, form_key: str = "", confirmed: int | None = None
) -> StackRecord:
    """Undo the last change: one's own at once, another person's after being told whose it is.

    ``confirmed`` is the key of the event that is undone, as ``AnothersEntryError`` names it.
    """

    def work(now: StackRecord) -> tuple[Words, Words]:
        if not now.undo:
            raise WorkOrderError(_("Nothing to undo."))
        last = _last_change(now)
        if last is not None and last.actor_id != actor.user_id and confirmed != last.pk:
            words = _("{person} made the last change. Press Undo again to undo it.")
            raise AnothersEntryError(words.format(person=last.actor_name), last.pk)
        before = {"items": len(now.items)}
        step, now.undo = now.undo[-1], now.undo[:-1]
        for name, value in step.items():
            kept = getattr(now, name)
            setattr(now, name, _put_back(value, kept) if name in {"items", "guides"} else value)
        return before, {"items": len(now.items)}

    return _once(actor, record, version, form_key, "stack.undone", work)


def _last_change(record: StackRecord) -> Event | None:
    """Return the change that the next undo takes off: of the newest ones, those undone already are passed over."""
    undone = 0
    events = Event.objects.filter(subject_type="stackrecord", subject_id=str(record.pk)).order_by("-id")
    for event in events.filter(verb__in=UNDOABLE | {"stack.undone"})[: 2 * KEPT_UNDOS]:
        if event.verb == "stack.undone":
            undone += 1
        elif undone:
            undone -= 1
        else:
            return event
    return None


def _once(
    actor: Actor,
    record: StackRecord,
    version: int,
    form_key: str,
    verb: str,
    work: Callable[[StackRecord], tuple[Words, Words]],
) -> StackRecord:
    """Do the work on the version that was seen, write row and event; a form that comes back finds its event."""
    try:
        with transaction.atomic():
            now = as_seen(record, version)
            refuse_earlier_recorder(now, actor)
            before, after = work(now)
            _write(now, version)
            record_event(
                actor=actor,
                verb=verb,
                subject=now,
                job_number=now.job.number,
                before=before,
                after={**after, "version": now.version, "form_key": form_key},
            )
            return now
    except WorkOrderError:
        # A form that comes back after it was carried out finds a newer version, or a record signed meanwhile.
        if carried_out(actor=actor, record=record, form_key=form_key):
            return newer_state(record)
        raise


def _write(now: StackRecord, version: int) -> None:
    """Write the row unless somebody was faster. What a lead accepted of the stack before is open again."""
    now.version = version + 1
    values = {name: getattr(now, name) for name in (*LISTED, "lubrication", "undo", "version")}
    if now.state == StackRecord.State.SUBMITTED:
        now.state = values["state"] = StackRecord.State.DRAFT
    if not StackRecord.objects.change_unsigned(now.pk, version, **values):
        raise stale(now, version)
    if now.stage == Stage.SPECIFIED and getattr(now, "any_accepted", True):
        now.accepted_findings.all().delete()


def way_back(was: Mapping[str, Any], now: StackRecord) -> dict[str, object]:
    """Return what undoes a change: of a list only its order and the entries that are no longer on it as they were."""
    step: dict[str, object] = {}
    for name, value in was.items():
        present = getattr(now, name)
        if value == present:
            continue
        if name in {"items", "guides"}:
            lost = [entry for entry in value if entry not in present]
            step[name] = {"order": [entry["uid"] for entry in value], "were": lost}
        else:
            step[name] = value
    return step


def _put_back(step: Mapping[str, Any], present: Entries) -> Entries:
    known = {entry["uid"]: entry for entry in (*present, *step["were"])}
    return [known[uid] for uid in step["order"]]


def earlier_recorders(record: StackRecord) -> set[int | None]:
    """Return who made as-built records that differed: somebody else must look now."""
    if record.stage != Stage.AS_BUILT or record.revision == 1:
        return set()
    differing = (
        record.job.stack_records.signed()
        .filter(stage=Stage.AS_BUILT, revision__lt=record.revision)
        .order_by("-revision")
    )
    newest = differing.first()
    if newest is None:
        return set()
    if not newest.differences and not any(
        disagreements(newest, person)
        for person in newest.looks.values_list("person_id", flat=True).distinct()
    ):
        return set()
    return {newest.started_by_id, newest.submitted_by_id}


def refuse_earlier_recorder(record: StackRecord, actor: Actor) -> None:
    """Refuse the hand that recorded the difference; it would see what it saw before."""
    if actor.user_id in earlier_recorders(record):
        raise WorkOrderError(
            _("The record before this one differed. A second person must record the stack again.")
        )
