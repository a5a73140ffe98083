"""The final run at the bench: rows while it goes on, its end as one test of the step."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from repairs.bench import final_run_page as page
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.edge.numbers import whole_number
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import RunRow, TestRecord
from repairs.measurements.shop_tests.presenting import present
from repairs.measurements.shop_tests.run_services import add_row, finish_run, strike_row
from repairs.measurements.words.run_temperatures import WORDS
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Step


def _step(number: str, step_id: int) -> Step:
    found = Step.objects.select_related("job__motor", "job__customer")
    return get_object_or_404(found, pk=step_id, job__number=number)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def final_run(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Show a run that goes on; keep one more row of it."""
    going = page.going_run(_step(number, step_id))
    form = page.row_form(going, request.user.unit_system, request.POST if request.method == "POST" else None)
    status = 200
    if request.method == "POST":
        if form.is_valid() and _kept_row(request, going, form):
            messages.success(request, _("Reading saved."))
            return redirect("bench:final_run", number=number, step_id=step_id)
        status = 422
        note_refusal(request, refusal_words(form))
    context = page.run_context(request, going, form)
    context["form_key"] = request.POST.get("form_key") or uuid4().hex
    return render(request, "bench/final_run.html", context, status=status)


def _kept_row(request: ShopRequest, going: page.GoingRun, form: Any) -> bool:
    actor, step = actor_of(request), going.step
    run = whole_number(request.POST.get("run")) or going.run

    def work() -> dict[str, object]:
        return {"id": add_row(actor=actor, job=step.job, step=step, run=run, entry=form.entry()).pk}

    return _once(request, form, work) is not None


@require_POST
@through_outbox
@allow(Permission.WORK_STEPS)
def strike(request: ShopRequest, number: str, step_id: int, pk: int) -> HttpResponse:
    """Strike out a row that was wrong."""
    found = RunRow.objects.select_related("step__job")
    row = get_object_or_404(found, pk=pk, step_id=step_id, job__number=number)
    actor, form = actor_of(request), Form(request.POST)

    def work() -> dict[str, object]:
        return {"id": strike_row(actor=actor, row=row).pk}

    form.is_valid()
    if _once(request, form, work) is None:
        note_refusal(request, refusal_words(form))
        messages.error(request, refusal_words(form))
    else:
        messages.success(request, _("Row struck out."))
    return redirect("bench:final_run", number=number, step_id=step_id)


@require_GET
@allow(Permission.WORK_STEPS)
def live(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Return the run as it stands now, for a page that is left open while it goes on."""
    context = page.live_context(request, page.going_run(_step(number, step_id)))
    return render(request, "bench/_final_run_live.html", context)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def finish(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """End a run: why it stopped, rotation and ratchet; its rows become one test."""
    going = page.going_run(_step(number, step_id))
    form = page.finish_form(
        going, request.user.unit_system, request.POST if request.method == "POST" else None
    )
    status = 200
    if request.method == "POST":
        kept = _kept_run(request, going, form) if form.is_valid() else None
        if kept is not None:
            words = {"pass": _("Run saved. Pass."), "fail": _("Run saved. Fail: out of limits.")}
            messages.success(request, words.get(kept.verdict, _("Run saved. Not checked in full.")))
            return redirect("bench:test_record", number=number, pk=kept.pk)
        status = 422
        note_refusal(request, refusal_words(form))
    said = form.entry().values if form.is_bound else {}
    judged = going.judged(request, said)
    sheet = present(judged.answer, WORDS, request.user.unit_system)
    context = {
        "job": going.step.job,
        "step": going.step,
        "form": form,
        "run": going.run,
        "rows_taken": len(going.rows),
        "sheet": sheet,
        "typed": True,
        "confirmed": request.POST.getlist("confirmed"),
        "unread": [],
        "doubts": [one for one in sheet.notes if one.severity == "doubt"],
        "told": [one for one in sheet.notes if one.severity != "doubt"],
        "no_thrust": page.no_thrust_panel(going, request.user.unit_system),
        "form_key": request.POST.get("form_key") or uuid4().hex,
    }
    return render(request, "bench/final_run_finish.html", context, status=status)


def _kept_run(request: ShopRequest, going: page.GoingRun, form: Any) -> TestRecord | None:
    actor, step = actor_of(request), going.step
    run = whole_number(request.POST.get("run")) or going.run

    def work() -> dict[str, object]:
        entry = form.entry(request.POST.getlist("confirmed"))
        checker = page.no_thrust_panel(going, "si")["checker"]
        entry = replace(entry, typed={**entry.typed, "checker_rpm": {"typed": str(checker), "unit": ""}})
        return {"id": finish_run(actor=actor, job=step.job, step=step, run=run, entry=entry).pk}

    made = _once(request, form, work)
    return None if made is None else TestRecord.objects.get(pk=made)


def _once(request: ShopRequest, form: Form, work: Any) -> int | None:
    """Carry an entry out once; a refusal stands on its form."""
    try:
        answer, _new = carry_out_once(
            actor=actor_of(request), key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return None
    return int(answer["id"])
