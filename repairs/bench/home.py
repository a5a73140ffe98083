"""Pick a job at the bench, and do its next step."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from repairs.bench.recorder import find_job
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.forms import ReadingForm
from repairs.measurements.services import record_reading
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.cautions import GOVERNS, cautions_for
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import Job, Step
from repairs.work_orders.services import holds, route


@require_GET
@allow(Permission.WORK_STEPS)
def home(request: ShopRequest) -> HttpResponse:
    """Type or scan a number; below it the open jobs that move."""
    typed = request.GET.get("number", "").strip().upper()
    found = Job.objects.filter(number=typed).first() if typed else None
    if found:
        return redirect("bench:job", number=found.number)
    jobs = Job.objects.open().with_motor().filter(on_hold=False).order_by("promised_on", "id")[:20]
    return render(request, "bench/home.html", {"jobs": jobs, "typed": typed})


@require_GET
@allow(Permission.WORK_STEPS)
def job(request: ShopRequest, number: str) -> HttpResponse:
    """Show the job's one next step with its cautions."""
    return render(request, "bench/job.html", _job_context(request, find_job(number)))


def _job_context(request: ShopRequest, job: Job) -> dict[str, Any]:
    steps = list(job.steps.all())
    step = next((one for one in steps if one.state == Step.State.WAITING), None)
    return {
        "job": job,
        "step": step,
        "steps_done": sum(1 for one in steps if one.state != Step.State.WAITING),
        "steps_total": len(steps),
        "cautions": cautions_for(step.kind) if step else (),
        "governs": GOVERNS,
        "reasons": blocking_reasons(step, actor=actor_of(request)) if step else [],
        "hand_overs": job.hand_overs.filter(accepted_at__isnull=True).select_related("written_by"),
        "form_key": uuid4().hex,
        "stack_stage": STAGE_OF_STEP.get(step.kind if step else "", "as_found"),
    }


STAGE_OF_STEP = {
    "strip_record": "as_found",
    "observe": "as_found",
    "specify": "specified",
    "lay_out": "specified",
    "mount": "as_built",
    "second_person": "as_built",
    "end_play": "as_built",
}


@require_http_methods(["POST"])
@allow(Permission.WORK_STEPS)
def step(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Sign a step off, leave it out, or do it again; the services ask the gates."""
    found = get_object_or_404(Step.objects.select_related("job"), pk=step_id, job__number=number)
    actor, words = actor_of(request), request.POST.get("note", "")
    work: Callable[[], Any] | None = {
        "sign": lambda: route.sign_off(actor=actor, step=found, note=words[:400]),
        "skip": lambda: route.skip_step(actor=actor, step=found, reason=words[:200]),
        "repeat": lambda: route.repeat_step(actor=actor, step=found, reason=words[:200]),
        "override": lambda: route.override_gate(actor=actor, step=found, reason=words[:400]),
    }.get(request.POST.get("do", ""))

    def carry_out() -> dict[str, Any]:
        if work is None:
            raise WorkOrderError(_("This cannot be done here."))
        work()
        return {"done": True}

    try:
        carry_out_once(
            actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=carry_out
        )
    except (WorkOrderError, LedgerError) as error:
        messages.error(request, str(error))
    return redirect("bench:job", number=number)


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def reading(request: ShopRequest, number: str) -> HttpResponse:
    """Take a reading down."""
    job = find_job(number)
    form = ReadingForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actor = actor_of(request)
        current = route.current_step(job)

        def work() -> dict[str, Any]:
            return {"id": record_reading(actor=actor, job=job, step=current, **form.cleaned_data).pk}

        try:
            carry_out_once(
                actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
            )
        except (WorkOrderError, LedgerError) as error:
            form.add_error(getattr(error, "field", None), str(error))
        else:
            messages.success(request, _("The reading is kept."))
            return redirect("bench:job", number=number)
    key = request.POST.get("form_key") or uuid4().hex
    context = {"job": job, "form": form, "form_key": key}
    return render(request, "bench/reading.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["POST"])
@allow(Permission.WORK_STEPS)
def hand_over(request: ShopRequest, number: str) -> HttpResponse:
    """Write a hand-over note, or accept the open one."""
    job, actor = find_job(number), actor_of(request)

    def work() -> dict[str, Any]:
        if accepted := request.POST.get("accept"):
            note = get_object_or_404(job.hand_overs, pk=int(accepted) if accepted.isdigit() else 0)
            holds.accept_hand_over(actor=actor, hand_over=note)
        else:
            names = ("done", "parts_lie", "danger", "not_to_trust")
            holds.write_hand_over(
                actor=actor, job=job, **{name: request.POST.get(name, "") for name in names}
            )
        return {}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        messages.error(request, str(error))
    return redirect("bench:job", number=number)
