"""Take a reading down at the bench."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_job
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.forms import ReadingForm
from repairs.measurements.services import record_reading
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.services import route


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def reading(request: ShopRequest, number: str) -> HttpResponse:
    """Take a reading down for the step that the job stands at."""
    job = find_job(number)
    form = ReadingForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _keep(request, job, form):
        messages.success(request, _("The reading is kept."))
        return redirect("bench:job", number=number)
    if form.is_bound:
        note_refusal(request, refusal_words(form))
    key = request.POST.get("form_key") or uuid4().hex
    context = {"job": job, "form": form, "form_key": key}
    return render(request, "bench/reading.html", context, status=422 if form.is_bound else 200)


def _keep(request: ShopRequest, job: Job, form: ReadingForm) -> bool:
    """Write the reading once; a refusal stands on the form."""
    actor, step = actor_of(request), route.current_step(job)

    def work() -> dict[str, Any]:
        return {"id": record_reading(actor=actor, job=job, step=step, **form.cleaned_data).pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return False
    return True
