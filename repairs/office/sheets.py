"""What each step measures, and what it is measured with: sheets of tests by version, instruments."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from repairs.edge.numbers import version_of
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import Instrument, ReadingSheet
from repairs.measurements.shop_tests.sheets import STANDARD
from repairs.measurements.shop_tests.shop_services import change_sheet, keep_instrument, sheet_to_edit
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.models import Motor
from repairs.office.sheet_forms import InstrumentForm, SheetForm
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import StepKind

ALL_BUILDS = "all"


@require_GET
@allow(Permission.EDIT_LIMITS)
def sheets(request: ShopRequest) -> HttpResponse:
    """List the steps with their sheets, those of one build of motor too."""
    current = {(row.kind, row.build): row for row in ReadingSheet.objects.current()}
    builds = dict(Motor.Build.choices)
    rows = []
    for kind in StepKind:
        if kind == StepKind.SECOND_PERSON:
            continue
        own = {build: row for (of, build), row in current.items() if of == kind}
        found = next((one for one in STANDARD if one.kind == kind), None)
        tests = sheet_to_edit(kind, "").tests
        rows.append(
            {
                "kind": kind.value,
                "label": kind.label,
                "version": own[""].version if "" in own else 0,
                "is_standard": "" not in own and found is not None,
                "tests": [WORDS[one.test].title for one in tests if one.test in WORDS],
                "builds": [
                    (build, label, own[build].version if build in own else 0)
                    for build, label in builds.items()
                ],
            }
        )
    return render(request, "office/sheets.html", {"rows": rows, "all": ALL_BUILDS})


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_LIMITS)
def sheet(request: ShopRequest, kind: str, build: str) -> HttpResponse:
    """Show a step's sheet; saving makes a newer version, jobs keep what was measured by older ones."""
    of_build = "" if build == ALL_BUILDS else build
    if kind not in StepKind.values or of_build not in {"", *Motor.Build.values}:
        raise Http404
    now = sheet_to_edit(kind, of_build)
    form = SheetForm(
        request.POST if request.method == "POST" else None, sheet=now, units=request.user.unit_system
    )
    status = 200
    if request.method == "POST":
        status = 422
        if request.POST.get("do") == "more":
            status = 200
        elif form.is_valid():
            status = _kept(
                request,
                form,
                lambda: change_sheet(
                    actor=actor_of(request),
                    kind=kind,
                    build=of_build,
                    version=version_of(request.POST.get("version")) or 0,
                    tests=form.tests(),
                    own=form.own(),
                ),
            )
            if status == 302:
                messages.success(request, _("Sheet saved as a new version."))
                return redirect("office:sheets")
    context = {
        "kind": StepKind(kind).label,
        "build": dict(Motor.Build.choices).get(of_build, ""),
        "form": form,
        "version": request.POST.get("version", now.version),
        "form_key": request.POST.get("form_key") or uuid4().hex,
    }
    return render(request, "office/sheet.html", context, status=status)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_LIMITS)
def instruments(request: ShopRequest) -> HttpResponse:
    """List the instruments with their calibration; add one."""
    return _instrument_page(request, None)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_LIMITS)
def instrument(request: ShopRequest, pk: int) -> HttpResponse:
    """Change one instrument."""
    return _instrument_page(request, get_object_or_404(Instrument, pk=pk))


def _instrument_page(request: ShopRequest, found: Instrument | None) -> HttpResponse:
    initial = None if found is None else {name: getattr(found, name) for name in InstrumentForm.base_fields}
    form = InstrumentForm(request.POST if request.method == "POST" else None, initial=initial)
    status = 422 if form.is_bound else 200
    if form.is_bound and form.is_valid():
        status = _kept(
            request,
            form,
            lambda: keep_instrument(
                actor=actor_of(request),
                instrument=found,
                version=version_of(request.POST.get("version")) or 0,
                **form.cleaned_data,
            ),
        )
        if status == 302:
            messages.success(request, _("Instrument saved."))
            return redirect("office:instruments")
    context = {
        "rows": Instrument.objects.order_by("-active", "tag"),
        "found": found,
        "form": form,
        "today": timezone.localdate(),
        "form_key": request.POST.get("form_key") or uuid4().hex,
    }
    return render(request, "office/instruments.html", context, status=status)


def _kept(request: ShopRequest, form: Any, act: Any) -> int:
    """Keep a form once; return 302, or 422 or 409 with the reason on the form."""

    def work() -> dict[str, object]:
        return {"id": act().pk}

    try:
        carry_out_once(
            actor=actor_of(request), key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return 409 if isinstance(error, StaleVersionError) else 422
    return 302
