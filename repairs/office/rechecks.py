"""Re-checks: the runs, whose outcome changed from what to what, both assessments side by side."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers

from bearings.public import Figures, StoredAssessment
from repairs.long_work.views import progress_context
from repairs.office.addresses import job_address, motor_address
from repairs.office.assessment_page import assessment_context
from repairs.office.recheck_forms import SeenForm, StartForm
from repairs.office.recheck_rows import change_figures, change_rows
from repairs.office.saving import new_key
from repairs.people.middleware import actor_of
from repairs.people.models import User
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.reading import ChangeFilter, newer_revision, offer
from repairs.rechecks.services import RecheckError, ask_recheck, mark_rest_seen, mark_seen
from repairs.work_orders.hiding import hidden_from

PAGE = 50


@require_GET
@allow(Permission.VIEW_SHOP)
def recheck_list(request: ShopRequest) -> HttpResponse:
    """List the runs, newest first, with the one that is under way."""
    page = Paginator(Recheck.objects.listed(), PAGE).get_page(request.GET.get("page"))
    offered = offer()
    context = {
        "page_obj": page,
        "runs": page.object_list,
        "offer": offered,
        "form_key": new_key(),
        "may_start": request.user.may(Permission.EDIT_BOOK),
        **(progress_context(offered.going.work) if offered.going and offered.going.work else {}),
    }
    return render(request, "office/rechecks.html", context)


@require_POST
@allow(Permission.EDIT_BOOK)
def recheck_start(request: ShopRequest) -> HttpResponse:
    """Have every standing stack checked again, in the background; the page of the run shows how far it is."""
    form = StartForm(request.POST)
    if not form.is_valid():
        return redirect("office:recheck_list")
    data = form.cleaned_data
    run = ask_recheck(actor=actor_of(request), why=data["why"], about=data["about"], key=data["form_key"])
    return redirect("office:recheck", pk=run.pk)


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def recheck(request: ShopRequest, pk: int) -> HttpResponse:
    """Show whose outcome a run found changed; filters and page live in the address."""
    run = get_object_or_404(Recheck.objects.select_related("work", "superseded_by"), pk=pk)
    context = _run_context(request, run)
    if request.htmx and not request.htmx.history_restore_request:
        return render(request, "office/_recheck_changes.html", context)
    return render(request, "office/recheck.html", context)


def _run_context(request: ShopRequest, run: Recheck, form: SeenForm | None = None) -> dict[str, object]:
    chosen = ChangeFilter.from_query(request.GET)
    page = Paginator(chosen.of(run).with_names().gravest_first(), PAGE).get_page(request.GET.get("page"))
    return {
        "run": run,
        "chosen": chosen,
        "page_obj": page,
        "rows": change_rows(page.object_list, request.user.units),
        "rest": chosen.of(run).unseen().filter(became_stop=False).count(),
        "form": form or SeenForm(),
        "may_see": request.user.may(Permission.SPECIFY_STACKS),
        **(progress_context(run.work) if run.work and run.finished_at is None else {}),
    }


@require_POST
@allow(Permission.SPECIFY_STACKS)
def recheck_rest_seen(request: ShopRequest, pk: int) -> HttpResponse:
    """Say of every change that the address's filter shows, STOP left out, that it was seen."""
    run = get_object_or_404(Recheck.objects.select_related("work", "superseded_by"), pk=pk)
    form, changes = SeenForm(request.POST), ChangeFilter.from_query(request.GET).of(run)
    if form.is_valid():
        try:
            note = form.cleaned_data["note"]
            mark_rest_seen(actor=actor_of(request), recheck=run, changes=changes, note=note)
            return redirect("office:recheck", pk=pk)
        except RecheckError as error:
            form.add_error(error.field, str(error))
    return render(request, "office/recheck.html", _run_context(request, run, form), status=422)


@require_GET
@allow(Permission.VIEW_SHOP)
def recheck_change(request: ShopRequest, pk: int) -> HttpResponse:
    """Show one change: what was stored and what is found today, side by side."""
    return _change_page(request, _change(pk), SeenForm())


def _change(pk: int) -> Change:
    return get_object_or_404(
        Change.objects.with_names().select_related("before", "after", "replaced_by"), pk=pk
    )


def _change_page(request: ShopRequest, change: Change, form: SeenForm) -> HttpResponse:
    job, user = change.job, request.user
    head = {"record": change.record, "job": job, "job_url": job_address(job.number)}
    if not change.in_service and hidden_from(user, job, change.record.stage):
        return render(request, "office/assessment_hidden.html", head, status=403)
    sides = ((_("As signed"), change.before, change.record), (_("Today"), change.after, None))
    context = {
        **head,
        **change_figures(change, Figures("us" if user.units == "us" else "si")),
        "newer": newer_revision(change),
        "motor_url": motor_address(change.motor_id),
        "sides": [
            {"title": title, "stored": kept, "record": record, **(_side(kept, user) if kept else {})}
            for title, kept, record in sides
        ],
        "form": form,
        "may_see": user.may(Permission.SPECIFY_STACKS),
    }
    return render(request, "office/recheck_change.html", context, status=422 if form.errors else 200)


def _side(kept: StoredAssessment, user: User) -> dict[str, object]:
    """Return one of the two assessments; its working stands on the page of the record."""
    context = assessment_context(kept, user)
    findings = [{**finding, "url": ""} for finding in context["findings"]]
    notes = [finding for finding in findings if finding["severity"] == "note"]
    return {**context, "grave": [one for one in findings if one not in notes], "notes": notes}


@require_POST
@allow(Permission.SPECIFY_STACKS)
def recheck_change_seen(request: ShopRequest, pk: int) -> HttpResponse:
    """Say that a change was seen, and what is done about it."""
    change, form = _change(pk), SeenForm(request.POST)
    if form.is_valid():
        try:
            mark_seen(actor=actor_of(request), change=change, note=form.cleaned_data["note"])
            return redirect("office:recheck", pk=change.recheck_id)
        except RecheckError as error:
            form.add_error(error.field, str(error))
    return _change_page(request, _change(pk), form)
