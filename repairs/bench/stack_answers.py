"""What an entry for a stack record is told when it was not carried out: its own words, and what stands there now."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bearings.public import choice_label
from repairs.bench.acts import refusal_of
from repairs.bench.item_forms import PartForm, typed
from repairs.bench.outbox import HEADER, note_refusal, note_version
from repairs.bench.recorder_rows import part_name
from repairs.people.middleware import actor_of
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import StackRecord
from repairs.work_orders.services.stack_changes import version_made


def note_unchanged(
    request: ShopRequest,
    record: StackRecord,
    error: WorkOrderError,
    *,
    form: PartForm | None = None,
    entry: dict[str, object] | None = None,
) -> None:
    """Say why a record was not changed. After a stale edit both versions are told: the author's and the list's."""
    refusal, stale = refusal_of(error, request.POST), isinstance(error, StaleVersionError)
    mine, theirs = [refusal.get("own", "")], []
    if stale:
        theirs = [f"{one['who']} {one['what']}, {one['at']}" for one in refusal.get("events", ())]
    if stale and form is not None:
        mine, fields = both_versions(form, entry)
        theirs += fields
    elif stale:
        theirs += list_words(record)
    note_refusal(request, refusal["text"], conflict=stale, mine=mine, theirs=theirs, version=record.version)


def note_made(request: ShopRequest, record: StackRecord) -> None:
    """Say which version this form made, also when it arrived before and others changed the record since."""
    if HEADER not in request.headers:
        return
    form_key = request.POST.get("form_key", "")
    note_version(request, version_made(actor=actor_of(request), record=record, form_key=form_key))


def both_versions(form: PartForm, entry: Mapping[str, Any] | None) -> tuple[list[str], list[str]]:
    """Return the fields that differ, as typed and as the list holds them; of a part that is gone all that was typed."""
    held = typed(entry["data"], form.room, form.units) if entry else {}
    mine, theirs = [], []
    for name, field in form.fields.items():
        own, kept = form.data.get(name, ""), held.get(name, "")
        if own != kept:
            mine.append(f"{field.label}: {choice_label(own) if own else '–'}")
            theirs += [f"{field.label}: {choice_label(kept) if kept else '–'}"] if entry else []
    return mine, theirs


def list_words(record: StackRecord) -> list[str]:
    """Return the parts of a record from the top, each with the way its wide face looks."""
    return [
        f"{ref} {part_name(entry['data'])}"
        + (f", {choice_label(entry['data']['wide_face'])}" if entry["data"].get("wide_face") else "")
        for ref, entry in refs_of(record.items)
    ]
