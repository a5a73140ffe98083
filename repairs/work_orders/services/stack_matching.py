"""Take a candidate of a match into the specified stack: its bearings in the order and with the faces of the pattern."""

from __future__ import annotations

from typing import Final
from uuid import uuid4

from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import Assembly, Rating, parse_item, set_places
from repairs.ledger.services import Actor
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import face_unknown, refs_of
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.services.stack_changes import Entries, Words, carried_out, change_record
from repairs.work_orders.services.stack_editing import (
    checked_item,
    item_from_rating,
    latest,
    start_record,
)

# What stays in the mount when the bearing that lies there is replaced.
OF_THE_PLACE: Final = ("wide_face", "spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm")


def seen_mark(record: StackRecord | None) -> str:
    """Return what a page says it saw of the newest specified stack."""
    return "none" if record is None else f"{record.pk}.{record.version}"


@transaction.atomic
def use_candidate(
    *,
    actor: Actor,
    pattern: StackRecord,
    rating: Rating,
    seen: str,
    reason: str = "",
    form_key: str = "",
) -> StackRecord:
    """Put a rating at every place of the set into the specified stack; begin it, or its next revision, if need be.

    Parts and guides come from the pattern. ``seen`` guards against a change that the person did not see.
    """
    newest = latest(pattern.job, Stage.SPECIFIED)
    if newest is not None and carried_out(actor=actor, record=newest, form_key=form_key):
        return newest
    job = lock_open_job(pattern.job_id)
    newest = latest(job, Stage.SPECIFIED)
    if seen != seen_mark(newest):
        raise StaleVersionError(_("Someone else changed the specified stack. Check it, then choose again."))
    items, replaced = items_with(pattern.items, rating)
    if newest is None or newest.is_frozen:
        newest = start_record(actor=actor, job=job, stage=Stage.SPECIFIED, copy_from=pattern, reason=reason)

    def change(now: StackRecord) -> tuple[Words, Words]:
        before = {"bearings": _called(now.items)}
        now.items, now.guides = items, pattern.guides
        return before, {"name": f"{rating} ({rating.source})", "pattern": pattern.pk, "ratings": replaced}

    return change_record(
        actor=actor,
        record=newest,
        version=newest.version,
        form_key=form_key,
        verb="stack.candidate_used",
        change=change,
    )


def _called(entries: Entries) -> list[Words]:
    """Return the bearings of a list as an event names them."""
    names = ("designation", "maker", "source")
    return [
        {"ref": ref, **{name: entry["data"].get(name, "") for name in names}}
        for ref, entry in refs_of(entries)
        if ref.isdigit()
    ]


def items_with(entries: Entries, rating: Rating) -> tuple[Entries, list[dict[str, object]]]:
    """Return the pattern's entries with a rating at every place of the set, and what was put where, with its source."""
    places = _set_places(entries, rating)
    items: Entries = []
    replaced: list[dict[str, object]] = []
    for place, (ref, entry) in enumerate(refs_of(entries)):
        if place not in places:
            items.append(entry)
            continue
        kept: dict[str, object] = {
            name: entry["data"][name] for name in OF_THE_PLACE if name in entry["data"]
        }
        data = checked_item({**item_from_rating(rating), **kept})
        items.append({"uid": uuid4().hex[:8], "rating_id": rating.pk, "data": data})
        replaced.append(
            {
                "ref": ref,
                "rating_id": rating.pk,
                "designation": rating.designation,
                "source": str(rating.source),
            }
        )
    return items, replaced


def _set_places(entries: Entries, rating: Rating) -> tuple[int, ...]:
    items = []
    for ref, entry in refs_of(entries):
        item, mistakes = parse_item(entry["data"], "")
        if item is None:
            words = _("Part {ref} of the pattern cannot be read: {why}")
            raise WorkOrderError(words.format(ref=ref, why=" ".join(one.message for one in mistakes)))
        if face_unknown(entry):
            words = _("First enter which way the wide face of bearing {ref} faces in the pattern.")
            raise WorkOrderError(words.format(ref=ref))
        items.append(item)
    places = set_places(Assembly(items=tuple(items))) if items else ()
    if not places:
        raise WorkOrderError(_("The pattern has no bearing that carries thrust."))
    if entries[places[0]]["data"]["type"] != rating.type:
        raise WorkOrderError(_("This bearing is a different type than the pattern's."))
    return places
