"""Take a reading down at the bench."""

from __future__ import annotations

from typing import Final
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.bench.entry_step import posted_step
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_job
from repairs.bench.shop_test_page import sheet_rows
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.forms import CorrectionForm, ReadingForm
from repairs.measurements.limits import limit_words
from repairs.measurements.models import Reading
from repairs.measurements.services import correct_reading, record_reading
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, StepKind
from repairs.work_orders.services import route

MOST_SHOWN: Final = 12


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def reading(request: ShopRequest, number: str) -> HttpResponse:
    """Take a reading down for the step that the job stands at."""
    job = find_job(number)
    form = ReadingForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _keep(request, job, form):
        messages.success(request, _kept_words(job))
        return redirect("bench:job", number=number)
    if form.is_bound:
        note_refusal(request, refusal_words(form))
    key = request.POST.get("form_key") or uuid4().hex
    taken = Reading.objects.of_job(job).standing().order_by("-id")[:MOST_SHOWN]
    step = route.current_step(job)
    context = {
        "job": job,
        "form": form,
        "form_key": key,
        "taken": taken,
        "step": step,
        "may_judge": request.user.may(Permission.OVERRIDE_GATES),
        "may_limit": request.user.may(Permission.EDIT_LIMITS),
        "may_concede": step is not None
        and step.kind == StepKind.FINAL_TEST
        and request.user.may(Permission.OVERRIDE_GATES),
        "test_rows": sheet_rows(job, step, actor_of(request), request.user) if step else [],
    }
    return render(request, "bench/reading.html", context, status=422 if form.is_bound else 200)


def _kept_words(job: Job) -> str:
    """Say that the reading is kept, and at once whether it passes."""
    words: dict[str, str] = {
        Reading.Verdict.PASS: _("Reading saved. Pass."),
        Reading.Verdict.FAIL: _("Reading saved. Fail: out of limits."),
    }
    newest = job.readings.order_by("-id").first()
    kept = _("Reading saved. Not checked: no limit or no source entered.")
    return words.get(newest.verdict, kept) if newest else kept


def _keep(request: ShopRequest, job: Job, form: ReadingForm) -> bool:
    """Write the reading once; a refusal stands on the form."""
    actor, step = actor_of(request), posted_step(request, job)

    def work() -> dict[str, object]:
        return {"id": record_reading(actor=actor, job=job, step=step, **form.cleaned_data).pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return False
    return True


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def correct(request: ShopRequest, number: str, reading_id: int) -> HttpResponse:
    """Take a reading's place with the right value and the reason; the first one stays readable."""
    job = find_job(number)
    wrong = get_object_or_404(Reading.objects.select_related("job"), pk=reading_id, job=job)
    form = CorrectionForm(request.POST or None, initial={"instrument": wrong.instrument})
    if request.method == "POST" and form.is_valid() and _replace(request, wrong, form):
        messages.success(request, _("Reading corrected. The original stays on file."))
        return redirect("bench:reading", number=number)
    if form.is_bound:
        note_refusal(request, refusal_words(form))
    context = {
        "job": job,
        "form": form,
        "wrong": wrong,
        "limit": limit_words(wrong.limit_low, wrong.limit_high, wrong.unit),
        "form_key": request.POST.get("form_key") or uuid4().hex,
    }
    return render(request, "bench/reading_correct.html", context, status=422 if form.is_bound else 200)


def _replace(request: ShopRequest, wrong: Reading, form: CorrectionForm) -> bool:
    """Write the newer reading once; a refusal stands on the form."""
    actor = actor_of(request)

    def work() -> dict[str, object]:
        return {"id": correct_reading(actor=actor, reading=wrong, **form.cleaned_data).pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return False
    return True
