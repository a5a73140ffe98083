"""The stack recorder: one page a stage, one address for everything a hand does to the list."""

from __future__ import annotations

from functools import cache
from typing import Final

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers

from repairs.bench.acts import carry_out, refusal_of
from repairs.bench.comparing import comparison_context
from repairs.bench.outbox import through_outbox
from repairs.bench.recorder_rows import Refusal, needed_permission, stage_tabs
from repairs.bench.recording import recorder_context
from repairs.bench.stack_answers import note_made, note_unchanged
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.cautions import GOVERNS, cautions_at_stage
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.hiding import hidden_from, hidden_stages
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.services import stack_editing as editing

SIGNATURES: Final = frozenset({"sign", "approve", "specify"})


def find_job(number: str) -> Job:
    """Return a job with its head, or answer that it is not there."""
    return get_object_or_404(Job.objects.with_motor(), number=number)


def find_record(number: str, stage: str) -> StackRecord | None:
    """Return the newest revision of a stage with all that the recorder asks of the rows around it, in one query."""
    if stage not in Stage.values:
        raise Http404
    return _whole_records().filter(job__number=number, stage=stage).first()


@cache
def _whole_records() -> QuerySet[StackRecord]:
    """Put the query together once: to resolve its expressions at every touch costs more than the database takes."""
    return StackRecord.objects.for_recorder().order_by("-revision")


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def stack(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Show a stage: the recorder, or how to begin."""
    record = find_record(number, stage)
    job = record.job if record else find_job(number)
    if (record is None or record.is_frozen) and hidden_from(request.user, job, stage):
        return hidden_page(request, job, stage)
    if record is None:
        return render(request, "bench/stack_start.html", _start_context(request, job, stage))
    chosen, whole = request.GET.get("item", ""), "unchecked" in request.GET
    context = recorder_context(record, request.user, chosen=chosen, whole=whole)
    if request.htmx:
        return render(request, "bench/_recorder.html", {**context, "oob": True})
    return render(request, "bench/stack.html", {**context, "stages": stage_tabs(job, stage)})


def hidden_page(request: ShopRequest, job: Job, stage: str) -> HttpResponse:
    """Say why a stage is not shown, and what opens it."""
    context = {
        "job": job,
        "stages": stage_tabs(job, stage),
        "answers_first": Stage.AS_BUILT in hidden_stages(request.user, job),
    }
    return render(request, "bench/stack_hidden.html", context)


def _start_context(request: ShopRequest, job: Job, stage: str) -> dict[str, object]:
    found = editing.latest(job, Stage.AS_FOUND)
    return {
        "job": job,
        "stage": stage,
        "stage_name": Stage(stage).label,
        "cautions": cautions_at_stage(stage),
        "governs": GOVERNS,
        "stages": stage_tabs(job, stage),
        "may_record": request.user.may(needed_permission(stage)),
        "may_copy": stage == Stage.SPECIFIED and found is not None,
        "blind": stage == Stage.AS_BUILT,
    }


@require_POST
@allow(Permission.VIEW_SHOP)
def stack_start(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Begin a stage, or its next revision. A form that arrives twice finds the revision it began."""
    job = find_job(number)
    if stage not in Stage.values:
        raise Http404
    if not request.user.may(needed_permission(stage)):
        raise PermissionDenied
    source = {"found": Stage.AS_FOUND.value, "same": stage}.get(request.POST.get("copy", ""))
    seen = request.POST.get("seen", "")
    newest = editing.latest(job, stage)
    if seen == str(newest.revision if newest else 0):
        try:
            editing.start_record(
                actor=actor_of(request),
                job=job,
                stage=stage,
                copy_from=editing.latest(job, source) if source else None,
                reason=request.POST.get("reason", ""),
            )
        except WorkOrderError as error:
            messages.error(request, str(error))
    return redirect("bench:stack", number=number, stage=stage)


@require_POST
@through_outbox
@allow(Permission.VIEW_SHOP)
def stack_act(request: ShopRequest, number: str, stage: str) -> HttpResponse:
    """Do one thing to a record and answer with the whole recorder, so that drawing and findings agree at once."""
    record = find_record(number, stage)
    if record is None:
        raise Http404
    if not request.user.may(needed_permission(stage)):
        raise PermissionDenied
    refusal, status = None, 200
    try:
        record = carry_out(actor_of(request), record, request.POST)
        note_made(request, record)
    except WorkOrderError as error:
        refusal, status = (
            refusal_of(error, request.POST),
            409 if isinstance(error, StaleVersionError) else 422,
        )
        record = find_record(number, stage) or record
        note_unchanged(request, record, error)
    return _answer(request, record, refusal, status)


def _answer(request: ShopRequest, record: StackRecord, refusal: Refusal | None, status: int) -> HttpResponse:
    """Return the recorder as it is now; without htmx a good answer is a redirect, a refusal the page itself."""
    verb, _colon, target = request.POST.get("do", "").partition(":")
    chosen = target.partition(":")[0] if verb in {"turn", "up", "down", "place"} else ""
    if not request.htmx and refusal is None:
        response = redirect("bench:stack", number=record.job.number, stage=record.stage)
        response["Location"] += f"?item={chosen}" if chosen else ""
        return response
    context = recorder_context(
        record, request.user, chosen=chosen, refusal=refusal, typed=_typed(request, verb)
    )
    if request.htmx:
        if verb in SIGNATURES:
            context["stages"] = stage_tabs(record.job, record.stage)
        return render(request, "bench/_recorder.html", {**context, "oob": True}, status=status)
    stages = stage_tabs(record.job, record.stage)
    return render(request, "bench/stack.html", {**context, "stages": stages}, status=status)


def _typed(request: ShopRequest, verb: str) -> dict[str, str]:
    """Return what else stood typed in the recorder's form, so that no act loses it."""
    kept = request.POST.dict()
    return {key: value for key, value in kept.items() if not (verb == "undo" and key == "note")}


@require_GET
@allow(Permission.VIEW_SHOP)
def compare(request: ShopRequest, number: str) -> HttpResponse:
    """Show the three stages side by side, every difference in words."""
    job = find_job(number)
    if hidden_stages(request.user, job):
        return hidden_page(request, job, "")
    return render(request, "bench/compare.html", comparison_context(job, request.user))
