"""A job's page, and what the office does there: hold and release, paperwork, route, end."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import cache
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bearings.public import grouped
from repairs.documents.models import StartUpRecord
from repairs.edge.numbers import row_key
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import Observation, SeatRecord
from repairs.motors.models import ThrustSheet
from repairs.office.job_forms import JobForm
from repairs.office.job_page import job_context
from repairs.office.recheck_rows import told_rows
from repairs.office.saving import new_key, save_guarded, stored_meanwhile, with_version
from repairs.office.site_entries import site_entries
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.rechecks.reading import told_of_job, with_rechecks_of_jobs
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Hold, Job, StepKind
from repairs.work_orders.models.step_kinds import OFFICE_STEPS
from repairs.work_orders.page_state import SeenPage
from repairs.work_orders.services.ended_job import record_invoice, record_pickup, reopen_job
from repairs.work_orders.services.holds import hold_job, release_job
from repairs.work_orders.services.opening import change_job, close_job
from repairs.work_orders.services.route import add_step, repeat_step, sign_off, skip_step

PAPERWORK = ("complaint", "purchase_order", "priority", "promised_on", "site", "contact")


def find_job(number: str) -> Job:
    """Return a job with its head, or answer that it is not there."""
    return get_object_or_404(_whole_jobs(), number=number)


@cache
def _whole_jobs() -> QuerySet[Job]:
    """Put the query together once: to resolve its subqueries at every visit costs more than the database takes."""
    jobs = Job.objects.with_motor().annotate(
        thrust=ThrustSheet.objects.newest_values("motor_id"),
        seats_measured=SeatRecord.objects.counted("pk"),
        observed=Observation.objects.counted("pk"),
        started_up=StartUpRecord.objects.counted("pk"),
    )
    return with_rechecks_of_jobs(jobs)


@require_GET
@allow(Permission.VIEW_SHOP)
def job(request: ShopRequest, number: str) -> HttpResponse:
    """Show everything about a job."""
    return _job_page(request, find_job(number))


def _job_page(request: ShopRequest, shown: Job, refused: str = "", panel: str = "") -> HttpResponse:
    context = job_context(shown, request.user)
    context |= {
        "waits_for": Hold.WaitsFor.choices,
        "kinds": StepKind.choices,
        "chosen_kind": StepKind.OTHER.value,
    }
    if refused:
        context |= {"refused": refused, "panel": panel, "typed": request.POST}
        context["chosen_step"] = request.POST.get("step") or context["chosen_step"]
        if panel == "route":
            kind = request.POST.get("kind", "")
            context["chosen_kind"] = kind if kind in StepKind.values else StepKind.OTHER.value
    context["site_entries"] = site_entries(shown, request.user.unit_system)
    context["form_key"] = request.POST.get("form_key") or new_key()
    context["recheck_rows"] = told_rows(told_of_job(shown), request.user.units)
    return render(request, "office/job.html", context, status=422 if refused else 200)


def _act(
    request: ShopRequest, number: str, panel: str, acts: dict[str, Callable[[Job], Any]]
) -> HttpResponse:
    """Do once what a button of the page asks for; a refusal shows the page with what was typed."""
    shown = find_job(number)
    act = acts.get(request.POST.get("do", ""))

    def work() -> dict[str, object]:
        if act is None:
            raise WorkOrderError(_("That button does not work here. Reload the page."))
        act(shown)
        return {"number": number}

    # One key serves every panel of a page; each panel does its own thing once.
    key = f"{request.POST.get('form_key', '')[:50]}-{panel}" if request.POST.get("form_key") else ""
    try:
        carry_out_once(actor=actor_of(request), key=key, body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        return _job_page(request, find_job(number), str(error), panel)
    return redirect("office:job", number=number)


@require_POST
@allow(Permission.HOLD_JOBS)
def job_hold(request: ShopRequest, number: str) -> HttpResponse:
    """Put a job on hold, or let it go on."""
    actor = actor_of(request)
    acts: dict[str, Callable[[Job], Any]] = {"hold": lambda job: _hold(request, job)}
    acts["release"] = lambda job: release_job(actor=actor, job=job)
    return _act(request, number, "hold", acts)


def _hold(request: ShopRequest, job: Job) -> Hold:
    waits_for, reason = request.POST.get("waits_for", ""), request.POST.get("reason", "").strip()
    if waits_for not in Hold.WaitsFor.values:
        raise WorkOrderError(_("Choose who the job is waiting for."), "waits_for")
    _refuse_long(reason, 200)
    return hold_job(
        actor=actor_of(request), job=job, waits_for=waits_for, reason=reason, tell_customer=_told(request)
    )


def _told(request: ShopRequest) -> str:
    """Return what the customer is told; the reason is the shop's own."""
    text = request.POST.get("tell_customer", "").strip()
    _refuse_long(text, 300)
    return text


def _refuse_long(text: str, most: int) -> None:
    if len(text) > most:
        words = _("{count} characters is too long. Use at most {most}.")
        raise WorkOrderError(words.format(count=grouped(len(text)), most=most), "reason")


@require_POST
@allow(Permission.EDIT_ROUTE)
def job_route(request: ShopRequest, number: str) -> HttpResponse:
    """Leave a step out, do one again, put one in."""
    actor, reason = actor_of(request), request.POST.get("reason", "").strip()
    acts: dict[str, Callable[[Job], Any]] = {
        "skip": lambda job: skip_step(
            actor=actor, step=_step(request, job), reason=reason, tell_customer=_told(request)
        ),
        "repeat": lambda job: repeat_step(actor=actor, step=_step(request, job), reason=reason),
        "add": lambda job: _add(request, job, reason),
    }
    return _act(request, number, "route", acts)


def _step(request: ShopRequest, job: Job) -> Any:
    _refuse_long(request.POST.get("reason", ""), 200)
    step = job.steps.filter(pk=row_key(request.POST.get("step"))).first()
    if step is None:
        raise WorkOrderError(_("Choose a step of this job."), "step")
    return step


def _add(request: ShopRequest, job: Job, title: str) -> Any:
    _refuse_long(title, 120)
    kind = request.POST.get("kind", "")
    if kind not in StepKind.values:
        raise WorkOrderError(_("Choose the step type."), "kind")
    step = _step(request, job) if request.POST.get("step") else None
    return add_step(actor=actor_of(request), job=job, after=step, kind=kind, title=title)


@require_POST
@allow(Permission.OPEN_JOBS)
def job_sign(request: ShopRequest, number: str) -> HttpResponse:
    """Sign a step of the desk: receive, estimate, approval, ship, report."""

    def sign(job: Job) -> Any:
        step, words = _step(request, job), request.POST.get("reason", "").strip()
        if step.kind not in OFFICE_STEPS:
            raise WorkOrderError(_("This step is signed at the bench."), "step")
        seen = SeenPage(step_id=step.pk, event_id=row_key(request.POST.get("seen", "")))
        return sign_off(actor=actor_of(request), step=step, note=words, seen=seen)

    return _act(request, number, "sign", {"sign": sign})


@require_POST
@allow(Permission.OPEN_JOBS)
def job_end(request: ShopRequest, number: str) -> HttpResponse:
    """Close a job whose route is walked, or cancel it with a reason."""
    actor, reason = actor_of(request), request.POST.get("reason", "").strip()
    acts: dict[str, Callable[[Job], Any]] = {
        "close": lambda job: close_job(actor=actor, job=job),
        "cancel": lambda job: close_job(actor=actor, job=job, cancelled=True, reason=reason),
    }
    return _act(request, number, "end", acts)


@require_POST
@allow(Permission.REOPEN_JOBS)
def job_reopen(request: ShopRequest, number: str) -> HttpResponse:
    """Let a closed or cancelled job take work again, with a reason."""
    actor, reason = actor_of(request), request.POST.get("reason", "").strip()
    acts: dict[str, Callable[[Job], Any]] = {
        "reopen": lambda job: reopen_job(actor=actor, job=job, reason=reason)
    }
    return _act(request, number, "reopen", acts)


@require_POST
@allow(Permission.OPEN_JOBS)
def job_leaves(request: ShopRequest, number: str) -> HttpResponse:
    """Record the pickup or the invoice number; a job takes both after its end as well."""
    actor, posted = actor_of(request), request.POST
    acts: dict[str, Callable[[Job], Any]] = {
        "pickup": lambda job: record_pickup(
            actor=actor,
            job=job,
            left_on=_day(posted.get("left_on", "")),
            carrier=posted.get("carrier", ""),
            signed_by=posted.get("signed_by", ""),
            note=posted.get("note", ""),
        ),
        "invoice": lambda job: record_invoice(actor=actor, job=job, number=posted.get("invoice_number", "")),
    }
    return _act(request, number, "leaves", acts)


def _day(text: str) -> date:
    try:
        day = parse_date(text)
    except ValueError:
        day = None
    if day is None:
        raise WorkOrderError(_("Enter the pickup date as year-month-day, such as 2026-11-30."), "left_on")
    return day


@require_http_methods(["GET", "POST"])
@allow(Permission.OPEN_JOBS)
def edit_job(request: ShopRequest, number: str) -> HttpResponse:
    """Change a job's paperwork."""
    shown = find_job(number)
    form = JobForm(request.POST or None, initial=_initial(shown), owner=shown.customer)
    status, differs = 200, []
    if request.method == "POST":
        status = save_guarded(
            form, lambda: change_job(actor=actor_of(request), job=shown, **form.cleaned_data)
        )
        if status == 200:
            messages.success(request, _("Job {number} saved.").format(number=number))
            return redirect("office:job", number=number)
    if status == 409:
        shown = find_job(number)
        with_version(form, shown.version)
        differs = stored_meanwhile(form, _initial(shown), PAPERWORK)
    context = {"job": shown, "form": form, "differs": differs}
    return render(request, "office/job_form.html", context, status=status)


def _initial(job: Job) -> dict[str, object]:
    return {name: getattr(job, name) for name in (*PAPERWORK, "version")}
