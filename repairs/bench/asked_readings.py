"""The readings that a gate asks for: each with the limit that stands, its source, and how far it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from repairs.bench.recorder import find_job
from repairs.edge.numbers import row_key
from repairs.ledger.services import Actor, LedgerError, carry_out_once
from repairs.measurements.asked_readings import BY_CODE, AskedReading
from repairs.measurements.evidence import counted, standing_rows
from repairs.measurements.forms import ConcessionForm, LimitForm
from repairs.measurements.limit_services import concede_run, enter_limit, judge_reading, withdraw_limit
from repairs.measurements.limits import limit_words, plain_number
from repairs.measurements.models import Reading, RunConcession, StandingLimit
from repairs.measurements.predicted_end_play import Predicted, predicted_end_play
from repairs.measurements.shop_tests.required import required_at
from repairs.measurements.standing_limits import Standing, standing_limit
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step


def asked_rows(job: Job, step: Step, actor: Actor) -> list[dict[str, object]]:
    """Return what a step is measured by, each with its limit for this person and what counts so far."""
    asked = required_at(step)
    rows = standing_rows(step) if asked else []
    return [_row(one, job, counted(rows, one.code), actor) for one in asked]


def _row(one: AskedReading, job: Job, row: Reading | None, actor: Actor) -> dict[str, object]:
    standing = standing_limit(job, one.code, measurer=actor.user_id, at=timezone.now())
    judged = getattr(row, "judgment", None) if row is not None else None
    predicted = predicted_end_play(job) if one.code == "end_play" else None
    return {
        "expected": expected_words(predicted),
        "cause": predicted is not None and row is not None and not predicted.holds(row),
        "code": one.code,
        "label": one.label,
        "limit": _standing_words(standing),
        "reading": row,
        "value": f"{plain_number(row.value)} {row.unit}" if row is not None else "",
        "judged": judged,
        "to_judge": row is not None
        and row.verdict == Reading.Verdict.NOT_CHECKED
        and judged is None
        and standing is None
        and row.person_id != actor.user_id,
    }


def _standing_words(standing: Standing | None) -> str:
    if standing is None:
        return _("no limit set: a lead judges the value")
    words = limit_words(standing.low, standing.high, standing.unit)
    return f"{words} ({standing.source})"


def expected_words(predicted: Predicted | None) -> str:
    """Say what the checker expects of an end play that nothing limits, from figures that are in part assumed."""
    if predicted is None or predicted.is_limit:
        return ""
    words = _("Expected {band}, from assumed figures. For information only.")
    return words.format(band=limit_words(predicted.low, predicted.high, predicted.unit))


def _once(request: ShopRequest, act: Callable[[], Any], form: forms.Form | None = None) -> bool:
    """Do a thing once; a refusal stands on the form, or as a message."""

    def work() -> dict[str, object]:
        return {"id": act().pk}

    try:
        carry_out_once(
            actor=actor_of(request), key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        if form is None:
            messages.error(request, str(error))
            return False
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return False
    return True


@require_POST
@allow(Permission.OVERRIDE_GATES)
def judge(request: ShopRequest, number: str, reading_id: int) -> HttpResponse:
    """Judge a value that no limit stood for."""
    row = get_object_or_404(Reading.objects.select_related("job"), pk=reading_id, job__number=number)
    _once(
        request,
        lambda: judge_reading(actor=actor_of(request), reading=row, reason=request.POST.get("reason", "")),
    )
    return redirect("bench:reading", number=number)


@require_http_methods(["GET", "POST"])
@allow(Permission.OVERRIDE_GATES)
def concession(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Take down that the customer takes the motor without a run that the shop cannot make."""
    step = get_object_or_404(
        Step.objects.select_related("job__motor", "job__customer"), pk=step_id, job__number=number
    )
    form = ConcessionForm(request.POST or None)
    if form.is_bound and form.is_valid():

        def keep() -> RunConcession:
            return concede_run(actor=actor_of(request), step=step, **form.cleaned_data)

        if _once(request, keep, form):
            return redirect("bench:job", number=number)
    context = {"job": step.job, "step": step, "form": form, "form_key": uuid4().hex}
    return render(request, "bench/concession.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_LIMITS)
def limits(request: ShopRequest, number: str) -> HttpResponse:
    """Enter the limits of one job's specification."""
    return limits_page(request, find_job(number))


def limits_page(request: ShopRequest, job: Job | None) -> HttpResponse:
    """Show and change the limits of a job's specification, or of the shop's policy."""
    form = LimitForm(request.POST if request.POST.get("do") == "enter" else None, of_job=job is not None)
    actor, done = actor_of(request), False
    if form.is_bound and form.is_valid():
        done = _once(request, lambda: enter_limit(actor=actor, job=job, **form.cleaned_data), form)
    elif request.method == "POST" and not form.is_bound:
        limit = get_object_or_404(StandingLimit, pk=row_key(request.POST.get("limit")), job=job)
        done = _once(request, lambda: withdraw_limit(actor=actor, limit=limit))
    if done:
        return redirect(request.path)
    context = {
        "job": job,
        "form": form,
        "rows": [
            {
                "limit": row,
                "label": BY_CODE[row.asked].label,
                "words": limit_words(row.low, row.high, row.unit),
            }
            for row in StandingLimit.objects.current().filter(job=job)
        ],
        "form_key": uuid4().hex,
    }
    return render(request, "bench/limits.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_LIMITS)
def shop_limits(request: ShopRequest) -> HttpResponse:
    """Enter the limits of the shop's policy."""
    return limits_page(request, None)
