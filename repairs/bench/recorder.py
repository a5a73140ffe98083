"""The stack recorder: one page a stage, one address for everything a hand does to the list."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers

from repairs.bench.recording import hidden_from, needed_permission, recorder_context, stage_tabs
from repairs.ledger.services import Actor
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.services import stack_editing as editing
from repairs.work_orders.services import stack_signing as signing


def find_job(number: str) -> Job:
    """Return a job with its head, or answer that it is not there."""
    return get_object_or_404(Job.objects.with_motor(), number=number)


def find_record(number: str, stage: str) -> StackRecord | None:
    """Return the newest revision of a stage with its job and motor, in one query."""
    if stage not in Stage.values:
        raise Http404
    records = StackRecord.objects.filter(job__number=number, stage=stage)
    return (
        records.select_related("job__motor", "job__customer", "job__site", "assessment")
        .order_by("-revision")
        .first()
    )


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def stack(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Show a stage: the recorder, or how to begin."""
    record = find_record(number, stage)
    job = record.job if record else find_job(number)
    if hidden_from(request.user, job, stage):
        return render(request, "bench/stack_hidden.html", {"job": job, "stages": stage_tabs(job, stage)})
    if record is None:
        return render(request, "bench/stack_start.html", _start_context(request, job, stage))
    context = recorder_context(record, request.user, chosen=request.GET.get("item", ""))
    if request.htmx:
        return render(request, "bench/_recorder.html", context)
    return render(request, "bench/stack.html", {**context, "stages": stage_tabs(job, stage)})


def _start_context(request: ShopRequest, job: Job, stage: str) -> dict[str, Any]:
    found = editing.latest(job, Stage.AS_FOUND)
    return {
        "job": job,
        "stage": stage,
        "stage_name": Stage(stage).label,
        "stages": stage_tabs(job, stage),
        "may_record": request.user.may(needed_permission(stage)),
        "may_copy": stage == Stage.SPECIFIED and found is not None,
        "blind": stage == Stage.AS_BUILT,
    }


@require_POST
@allow(Permission.VIEW_SHOP)
def stack_start(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Begin a stage, or its next revision."""
    job = find_job(number)
    if stage not in Stage.values:
        raise Http404
    _require(request, stage)
    source = None
    if request.POST.get("copy") == "found":
        source = editing.latest(job, Stage.AS_FOUND)
    elif request.POST.get("copy") == "same":
        source = editing.latest(job, stage)
    try:
        editing.start_record(
            actor=actor_of(request),
            job=job,
            stage=stage,
            copy_from=source,
            reason=request.POST.get("reason", ""),
        )
    except WorkOrderError as error:
        messages.error(request, str(error))
    return redirect("bench:stack", number=number, stage=stage)


def _require(request: ShopRequest, stage: str) -> None:
    from django.core.exceptions import PermissionDenied

    if not request.user.may(needed_permission(stage)):
        raise PermissionDenied


@require_POST
@allow(Permission.VIEW_SHOP)
def stack_act(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Do one thing to a record and answer with the whole recorder, so that drawing and findings agree at once."""
    record = find_record(number, stage)
    if record is None:
        raise Http404
    _require(request, stage)
    verb, _colon, target = request.POST.get("do", "").partition(":")
    problem, status = "", 200
    try:
        record = _act(actor_of(request), record, _version(request), verb, target, request)
    except StaleVersionError as error:
        problem, status = str(error), 409
        record = find_record(number, stage) or record
    except WorkOrderError as error:
        problem, status = str(error), 422
        record = find_record(number, stage) or record
    chosen = "" if verb in {"remove", "undo"} else target.partition(":")[0]
    if request.htmx:
        context = recorder_context(record, request.user, chosen=chosen, problem=problem)
        return render(request, "bench/_recorder.html", context, status=status)
    if problem:
        messages.error(request, problem)
    response = redirect("bench:stack", number=number, stage=stage)
    if chosen:
        response["Location"] += f"?item={chosen}"
    return response


def _version(request: ShopRequest) -> int:
    try:
        return int(request.POST.get("version", ""))
    except ValueError as error:
        raise StaleVersionError(_("Reload the page and try again.")) from error


def _act(
    actor: Actor, record: StackRecord, version: int, verb: str, target: str, request: ShopRequest
) -> StackRecord:
    """Carry out a verb of the recorder."""
    common: dict[str, Any] = {"actor": actor, "record": record, "version": version}
    uid, _colon, argument = target.partition(":")
    places = {entry["uid"]: index for index, entry in enumerate(record.items)}
    if verb == "turn":
        return editing.turn_over(**common, uid=uid)
    if verb in {"up", "down"} and uid in places:
        return editing.move_item(**common, uid=uid, place=places[uid] + (1 if verb == "down" else -1))
    if verb == "place" and argument.isdigit():
        return editing.move_item(**common, uid=uid, place=int(argument))
    if verb == "remove":
        return editing.remove_item(**common, uid=uid)
    if verb == "undo":
        return editing.undo_change(**common)
    if verb == "describe":
        top = request.POST.get("top_identified") == "on"
        return editing.describe_record(**common, top_identified=top, note=request.POST.get("note", ""))
    if verb == "sign":
        return _sign(record, common)
    if verb == "approve":
        return signing.approve_specified(**common)
    if verb == "accept":
        signing.accept_finding(
            actor=actor,
            record=record,
            code=uid,
            ref=argument,
            reason=request.POST.get(f"reason-{target}", ""),
        )
        return StackRecord.objects.select_related("job__motor").get(pk=record.pk)
    raise WorkOrderError(_("This cannot be done here."))


def _sign(record: StackRecord, common: dict[str, Any]) -> StackRecord:
    if record.stage == Stage.AS_FOUND:
        return signing.sign_record(**common)
    if record.stage == Stage.AS_BUILT:
        return signing.submit_built(**common)
    return signing.submit_specified(**common)


@require_GET
@allow(Permission.VIEW_SHOP)
def compare(request: ShopRequest, number: str) -> HttpResponse:
    """Show the three stages side by side, every difference in words."""
    from repairs.bench.comparing import comparison_context

    job = find_job(number)
    if hidden_from(request.user, job, Stage.SPECIFIED):
        return render(request, "bench/stack_hidden.html", {"job": job, "stages": stage_tabs(job, "")})
    return render(request, "bench/compare.html", comparison_context(job, request.user))
