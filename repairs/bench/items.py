"""Add a part to a stack, and edit its fields."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bearings.public import Rating
from repairs.bench.item_forms import PartForm, typed
from repairs.bench.recorder import find_record
from repairs.bench.recorder_rows import PART_NAMES, needed_permission
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import StackRecord
from repairs.work_orders.services import stack_editing as editing

MOST_RATINGS = 12


def _editable(request: ShopRequest, number: str, stage: str) -> StackRecord:
    record = find_record(number, stage)
    if record is None:
        raise Http404
    if record.is_frozen or not request.user.may(needed_permission(stage)):
        raise PermissionDenied
    return record


def found_ratings(text: str) -> list[Rating]:
    """Return ratings whose designation begins with what was typed."""
    return list(Rating.objects.found_by(text)[:MOST_RATINGS]) if text.strip() else []


@require_GET
@allow(Permission.RECORD_STACKS)
def stack_add(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Choose what comes next on the list: a bearing from the book, one by hand, or another part."""
    record = _editable(request, number, stage)
    text = request.GET.get("q", "")
    context = {"record": record, "job": record.job, "stage": stage, "q": text, "ratings": found_ratings(text)}
    page = "bench/_ratings.html" if request.htmx else "bench/stack_add.html"
    return render(request, page, {**context, "parts": PART_NAMES.items()})


@require_POST
@allow(Permission.RECORD_STACKS)
def stack_add_rating(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Copy a rating of the book into the record, with its source."""
    record = _editable(request, number, stage)
    rating_id, _colon, face = request.POST.get("rating", "").partition(":")
    rating = (
        Rating.objects.select_related("source")
        .filter(pk=int(rating_id) if rating_id.isdigit() else 0)
        .first()
    )
    if rating is None:
        raise Http404
    data = editing.item_from_rating(rating, face=face if face in {"up", "down"} else None)
    return _finish(request, record, lambda version: editing.add_item(
        actor=actor_of(request), record=record, version=version, data=data, rating_id=rating.pk
    ))  # fmt: skip


@require_http_methods(["GET", "POST"])
@allow(Permission.RECORD_STACKS)
def stack_new_item(request: ShopRequest, number: str, stage: str, kind: str) -> HttpResponse:
    """Describe a new part by hand."""
    record = _editable(request, number, stage)
    if kind != "bearing" and kind not in PART_NAMES:
        raise Http404
    form = PartForm("bearing" if kind == "bearing" else "part", kind, request.POST or None)
    if request.method == "POST" and form.is_valid():
        return _save(request, record, form, lambda version: editing.add_item(
            actor=actor_of(request), record=record, version=version, data=form.data_for_stack()
        ))  # fmt: skip
    return _show(request, record, form, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
@allow(Permission.RECORD_STACKS)
def stack_item(request: ShopRequest, number: str, stage: str, uid: str) -> HttpResponse:
    """Edit the fields of a part or a guide."""
    record = _editable(request, number, stage)
    entry = next((e for e in record.items if e["uid"] == uid), None)
    guide = next((e for e in record.guides if e["uid"] == uid), None)
    if entry is None and guide is None:
        raise Http404
    data = (entry or guide or {})["data"]
    room = "guide" if guide is not None else ("bearing" if data.get("kind") == "bearing" else "part")
    form = PartForm(room, data.get("kind", "bearing"), request.POST or None, initial=typed(data))
    if request.method == "POST" and form.is_valid():
        if guide is not None:
            return _save(request, record, form, lambda version: editing.save_guide(
                actor=actor_of(request), record=record, version=version, data=form.data_for_stack(), uid=uid
            ))  # fmt: skip
        return _save(request, record, form, lambda version: editing.edit_item(
            actor=actor_of(request), record=record, version=version, uid=uid, data=form.data_for_stack()
        ))  # fmt: skip
    return _show(request, record, form, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
@allow(Permission.RECORD_STACKS)
def stack_guide(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Describe a guide bearing elsewhere on the shaft."""
    record = _editable(request, number, stage)
    form = PartForm("guide", "bearing", request.POST or None)
    if request.method == "POST" and form.is_valid():
        return _save(request, record, form, lambda version: editing.save_guide(
            actor=actor_of(request), record=record, version=version, data=form.data_for_stack()
        ))  # fmt: skip
    return _show(request, record, form, status=422 if form.is_bound else 200)


def _version(request: ShopRequest) -> int:
    text = request.POST.get("version", "")
    return int(text) if text.isdigit() else -1


def _finish(request: ShopRequest, record: StackRecord, work: Any) -> HttpResponse:
    from django.contrib import messages

    try:
        work(_version(request))
    except WorkOrderError as error:
        messages.error(request, str(error))
    return redirect("bench:stack", number=record.job.number, stage=record.stage)


def _save(request: ShopRequest, record: StackRecord, form: PartForm, work: Any) -> HttpResponse:
    """Do the work; a refusal comes back on the form with everything that was typed."""
    try:
        work(_version(request))
    except editing.InvalidItemError as refusal:
        form.take_refusal(refusal)
        return _show(request, record, form, status=422)
    except StaleVersionError as error:
        form.add_error(None, str(error))
        fresh = find_record(record.job.number, record.stage) or record
        return _show(request, fresh, form, status=409, changed=True)
    except WorkOrderError as error:
        form.add_error(None, str(error))
        return _show(request, record, form, status=422)
    return redirect("bench:stack", number=record.job.number, stage=record.stage)


def _show(
    request: ShopRequest, record: StackRecord, form: PartForm, *, status: int, changed: bool = False
) -> HttpResponse:
    context = {
        "record": record,
        "job": record.job,
        "form": form,
        "groups": form.groups(),
        "title": PART_NAMES.get(form.kind, _("Guide bearing") if form.room == "guide" else _("Bearing")),
        "changed": changed,
    }
    return render(request, "bench/stack_item.html", context, status=status)
