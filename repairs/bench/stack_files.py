"""A stack record out as a stack file, and a stack file in."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from bearings.public import StackFileError, guide_values, item_values, parse_stack
from repairs.bench.recorder import find_record
from repairs.bench.recorder_rows import hidden_from, needed_permission
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import shop_limits, stack_file_of
from repairs.work_orders.services.stack_editing import replace_items


@require_http_methods(["GET", "POST"])
@allow(Permission.RECORD_STACKS)
def stack_file(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Hand the record out as JSON (GET), or take a file's items into a record that is being recorded (POST)."""
    record = find_record(number, stage)
    if record is None or hidden_from(request.user, record.job, stage):
        raise Http404
    if request.method == "GET":
        data = stack_file_of(record, record.job.motor, shop_limits())
        answer = JsonResponse(data, json_dumps_params={"indent": 1, "ensure_ascii": False})
        answer["Content-Disposition"] = f'attachment; filename="stack-{number}-{stage}.json"'
        return answer
    mistakes: list[Any] = []
    upload = request.FILES.get("file")
    try:
        if not request.user.may(needed_permission(stage)):
            raise Http404
        stack = parse_stack(upload.read() if upload else b"")
        version = request.POST.get("version", "")
        replace_items(
            actor=actor_of(request),
            record=record,
            version=int(version) if version.isdigit() else -1,
            items=[
                {"uid": uuid4().hex[:8], "rating_id": None, "data": dict(item_values(i))} for i in stack.items
            ],
            guides=[
                {"uid": uuid4().hex[:8], "rating_id": None, "data": dict(guide_values(g))}
                for g in stack.guides
            ],
        )
    except StackFileError as error:
        mistakes = [one.as_dict() for one in error.mistakes]
    except WorkOrderError as error:
        mistakes = [{"field": "file", "value": upload.name if upload else "", "message": str(error)}]
    if mistakes:
        return render(
            request,
            "bench/stack_file.html",
            {"record": record, "job": record.job, "mistakes": mistakes},
            status=422,
        )
    return redirect("bench:stack", number=number, stage=stage)
