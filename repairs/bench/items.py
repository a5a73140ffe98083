"""Add a part to a stack, and edit its fields."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final, TypedDict
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bearings.public import Rating
from repairs.bench.acts import refusal_of, seen_version
from repairs.bench.estimates import RollersForm, estimated
from repairs.bench.item_forms import PartForm, typed
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_record
from repairs.bench.recorder_rows import needed_permission
from repairs.bench.stack_answers import note_made, note_unchanged
from repairs.edge.numbers import row_key
from repairs.ledger.services import Actor
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import ref_of
from repairs.work_orders.models import StackRecord
from repairs.work_orders.part_names import PART_NAMES
from repairs.work_orders.services import stack_editing as editing
from repairs.work_orders.warning_words import called

MOST_RATINGS: Final = 12


class Common(TypedDict):
    """What every change of a record is made with."""

    actor: Actor
    record: StackRecord
    version: int
    form_key: str


Work = Callable[[Common], StackRecord]


def editable(request: ShopRequest, number: str, stage: str) -> StackRecord:
    """Return the record of a stage for somebody who may record it; whether it is signed the services say."""
    record = find_record(number, stage)
    if record is None:
        raise Http404
    if not request.user.may(needed_permission(stage)):
        raise PermissionDenied
    return record


def found_ratings(text: str) -> list[Rating]:
    """Return ratings whose designation begins with what was typed."""
    return list(Rating.objects.found_by(text)[:MOST_RATINGS]) if text.strip() else []


@require_GET
@allow(Permission.RECORD_STACKS)
def stack_add(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Choose what comes next on the list, or the rating that is copied onto a bearing of it."""
    record = editable(request, number, stage)
    text, onto = request.GET.get("q", ""), request.GET.get("onto", "")
    ref = ref_of(record.items, onto)
    context = {
        "record": record,
        "job": record.job,
        "stage": stage,
        "q": text,
        "ratings": found_ratings(text),
        "onto": onto if ref else "",
        "onto_label": called(ref) if ref else "",
        "form_key": uuid4().hex,
        "parts": PART_NAMES.items(),
    }
    return render(request, "bench/_ratings.html" if request.htmx else "bench/stack_add.html", context)


@require_POST
@through_outbox
@allow(Permission.RECORD_STACKS)
def stack_add_rating(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Copy a rating of the book into the record, with its source: as a new bearing, or onto one of the list."""
    record = editable(request, number, stage)
    rating_id, _colon, face = request.POST.get("rating", "").partition(":")
    ratings = Rating.objects.select_related("source")
    rating = ratings.filter(pk=row_key(rating_id)).first()
    if rating is None:
        raise Http404
    onto = request.POST.get("onto", "")
    try:
        if onto:
            editing.copy_rating(**_common(request, record), uid=onto, rating=rating)
        else:
            data = editing.item_from_rating(rating, face=face if face in editing.OTHER_FACE else None)
            editing.add_item(**_common(request, record), data=data, rating_id=rating.pk)
    except WorkOrderError as error:
        note_unchanged(request, find_record(number, stage) or record, error)
        messages.error(request, str(error))
    else:
        note_made(request, record)
    return redirect("bench:stack", number=number, stage=stage)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.RECORD_STACKS)
def stack_new_item(request: ShopRequest, number: str, stage: str, kind: str) -> HttpResponse:
    """Describe a new part by hand."""
    record = editable(request, number, stage)
    if kind != "bearing" and kind not in PART_NAMES:
        raise Http404
    form = PartForm(
        "bearing" if kind == "bearing" else "part", kind, request.user.units, request.POST or None
    )
    return _answer(
        request, record, form, lambda common: editing.add_item(**common, data=form.data_for_stack())
    )


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.RECORD_STACKS)
def stack_item(request: ShopRequest, number: str, stage: str, uid: str) -> HttpResponse:
    """Edit the fields of a part or a guide. A part that somebody took off meanwhile keeps what was typed."""
    record = editable(request, number, stage)
    entry = next((one for one in (*record.items, *record.guides) if one["uid"] == uid), None)
    if entry is None and request.method == "GET":
        raise Http404
    data = entry["data"] if entry else {}
    room, kind = _room(record, uid, data, request.POST.get("room", ""))
    units = request.user.units
    form = PartForm(room, kind, units, request.POST or None, held=data)
    work = editing.save_guide if room == "guide" else editing.edit_item
    return _answer(
        request, record, form, lambda common: work(**common, data=form.data_for_stack(), uid=uid), uid=uid
    )


def _room(record: StackRecord, uid: str, data: Mapping[str, Any], posted: str) -> tuple[str, str]:
    """Return which table of fields a part has, and its kind; of a part that is gone, as the form says."""
    if not data:
        room, _colon, kind = posted.partition(":")
        known = room in {"bearing", "guide", "part"} and (kind == "bearing" or kind in PART_NAMES)
        return (room, kind) if known else ("bearing", "bearing")
    if any(guide["uid"] == uid for guide in record.guides):
        return "guide", "bearing"
    kind = data.get("kind", "bearing")
    return ("bearing" if kind == "bearing" else "part"), kind


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.RECORD_STACKS)
def stack_guide(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Describe a guide bearing elsewhere on the shaft."""
    record = editable(request, number, stage)
    form = PartForm("guide", "bearing", request.user.units, request.POST or None)
    return _answer(
        request, record, form, lambda common: editing.save_guide(**common, data=form.data_for_stack())
    )


def _common(request: ShopRequest, record: StackRecord) -> Common:
    return {
        "actor": actor_of(request),
        "record": record,
        "version": seen_version(request.POST),
        "form_key": request.POST.get("form_key", ""),
    }


def _answer(
    request: ShopRequest, record: StackRecord, form: PartForm, work: Work, *, uid: str = ""
) -> HttpResponse:
    """Show the form, or do the work; a refusal comes back on the form with everything that was typed."""
    if request.method == "GET":
        return _show(request, record, form, uid=uid)
    if request.POST.get("act") == "estimate":
        return _estimate(request, record, form, uid)
    if not form.is_valid():
        note_refusal(request, refusal_words(form), version=record.version)
        return _show(request, record, form, uid=uid, status=422)
    try:
        work(_common(request, record))
    except editing.InvalidItemError as refusal:
        form.take_refusal(refusal)
        note_refusal(request, refusal_words(form), version=record.version)
        return _show(request, record, form, uid=uid, status=422)
    except StaleVersionError as error:
        fresh = find_record(record.job.number, record.stage) or record
        entry = next((one for one in (*fresh.items, *fresh.guides) if one["uid"] == uid), None)
        note_unchanged(request, fresh, error, form=form, entry=entry)
        meanwhile = refusal_of(error, request.POST)
        return _show(request, fresh, form, uid=uid, status=409, meanwhile=meanwhile)
    except WorkOrderError as error:
        note_unchanged(request, record, error)
        form.add_error(None, str(error))
        return _show(request, record, form, uid=uid, status=422)
    note_made(request, record)
    return redirect("bench:stack", number=record.job.number, stage=record.stage)


def _estimate(request: ShopRequest, record: StackRecord, form: PartForm, uid: str) -> HttpResponse:
    """Fill estimated ratings into the form; nothing is kept before its author keeps it."""
    rollers = RollersForm(request.POST)
    filled, said = estimated(form, rollers, request.POST)
    return _show(
        request, record, filled, uid=uid, status=200 if said else 422, rollers=rollers, estimate=said
    )


def _show(
    request: ShopRequest,
    record: StackRecord,
    form: PartForm,
    *,
    uid: str,
    status: int = 200,
    meanwhile: Mapping[str, Any] | None = None,
    rollers: RollersForm | None = None,
    estimate: str = "",
) -> HttpResponse:
    entry = next((one for one in (*record.items, *record.guides) if one["uid"] == uid), None)
    names = PART_NAMES.get(form.kind, _("Guide bearing") if form.room == "guide" else _("Bearing"))
    context = {
        "record": record,
        "job": record.job,
        "form": form,
        # A form that is refused for its fields has still seen the version it was first shown from.
        "version": seen_version(request.POST)
        if request.method == "POST" and not meanwhile
        else record.version,
        "form_key": request.POST.get("form_key") or uuid4().hex,
        "groups": form.groups(typed(entry["data"], form.room, form.units) if meanwhile and entry else None),
        "title": f"{names} {ref_of(record.items, uid)}".strip(),
        "meanwhile": meanwhile,
        "gone": bool(uid) and entry is None,
        "uid": uid,
        "rollers": None if form.room == "part" else rollers or RollersForm(request.POST or None),
        "estimate": estimate,
        "from_book": form.room == "bearing" and entry is not None,
    }
    return render(request, "bench/stack_item.html", context, status=status)
