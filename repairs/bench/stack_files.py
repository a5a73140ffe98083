"""A stack record out as a stack file, and a stack file in."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from bearings.public import StackFileError, guide_values, item_values, parse_stack
from repairs.bench.acts import seen_version
from repairs.bench.recorder import find_record
from repairs.bench.recorder_rows import needed_permission
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.entries import Entry
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.judging import shop_limits, stack_file_of
from repairs.work_orders.models import StackRecord
from repairs.work_orders.services.stack_editing import replace_items

Mistakes = list[Mapping[str, object]]
LARGEST_FILE = 1024 * 1024


@require_http_methods(["GET", "POST"])
@allow(Permission.RECORD_STACKS)
def stack_file(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Hand the record out as JSON, or take a file's items into a record that is being recorded."""
    record = find_record(number, stage)
    if record is None or hidden_from(request.user, record.job, stage):
        raise Http404
    if request.method == "GET" and "download" in request.GET:
        return _download(record, number, stage)
    may_take = not record.is_frozen and request.user.may(needed_permission(stage))
    mistakes: Mistakes = []
    if request.method == "POST":
        if not may_take:
            raise PermissionDenied
        if not (mistakes := _take(request, record)):
            return redirect("bench:stack", number=number, stage=stage)
    context = {
        "record": record,
        "job": record.job,
        "mistakes": mistakes,
        "may_take": may_take,
        "version": seen_version(request.POST) if mistakes else record.version,
        "form_key": uuid4().hex,
    }
    return render(request, "bench/stack_file.html", context, status=422 if mistakes else 200)


def _download(record: StackRecord, number: str, stage: str) -> HttpResponse:
    data = stack_file_of(record, record.job.motor, shop_limits())
    answer = JsonResponse(data, json_dumps_params={"indent": 1, "ensure_ascii": False})
    answer["Content-Disposition"] = f'attachment; filename="stack-{number}-{stage}.json"'
    return answer


def _take(request: ShopRequest, record: StackRecord) -> Mistakes:
    """Put the file's items in place of the recorded ones; return what is wrong with it, all at once."""
    upload = request.FILES.get("file")
    name = upload.name if upload else ""
    if upload is None or (upload.size or 0) > LARGEST_FILE:
        return [{"field": "file", "value": name, "message": _("Choose a stack file of 1 MiB at most.")}]
    try:
        stack = parse_stack(upload.read())
        replace_items(
            actor=actor_of(request),
            record=record,
            version=seen_version(request.POST),
            items=[_entry(dict(item_values(item))) for item in stack.items],
            guides=[_entry(dict(guide_values(guide))) for guide in stack.guides],
            form_key=request.POST.get("form_key", ""),
        )
    except StackFileError as error:
        return [one.as_dict() for one in error.mistakes]
    except WorkOrderError as error:
        return [{"field": "file", "value": name, "message": str(error)}]
    return []


def _entry(data: dict[str, object]) -> Entry:
    return {"uid": uuid4().hex[:8], "rating_id": None, "data": data}
