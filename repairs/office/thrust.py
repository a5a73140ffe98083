"""The thrust sheet of a motor: read it, fill it in while the figures follow, sign it, use its figures."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bearings.public import Units
from repairs.motors.models import Motor, ThrustSheet
from repairs.motors.thrust_fields import entries_from_plate
from repairs.motors.thrust_services import save_thrust_sheet, use_thrust_sheet
from repairs.motors.thrust_services import sign_thrust_sheet as sign
from repairs.office import thrust_page as page
from repairs.office.saving import new_key, save_guarded, save_once, with_version
from repairs.office.thrust_form import SheetForm, SignForm, ThrustForm, UseForm
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


def _units(request: ShopRequest) -> Units:
    return cast(Units, request.user.units)


def _motor(pk: int) -> Motor:
    return get_object_or_404(Motor.objects.with_owner(), pk=pk)


@require_GET
@allow(Permission.VIEW_SHOP)
def thrust_sheet(request: ShopRequest, pk: int, revision: int | None = None) -> HttpResponse:
    """Show a revision of a motor's thrust sheet, the newest one unless another is asked for."""
    motor = _motor(pk)
    sheets = list(ThrustSheet.objects.of(motor))
    wanted = next((one for one in sheets if revision in (None, one.revision)), None)
    if wanted is None and revision is not None:
        raise Http404
    return _sheet_page(request, motor, wanted, sheets)


def _sheet_page(
    request: ShopRequest,
    motor: Motor,
    sheet: ThrustSheet | None,
    sheets: list[ThrustSheet],
    sign_form: SignForm | None = None,
) -> HttpResponse:
    context: dict[str, object] = {"motor": motor, "sheet": sheet, "revisions": page.revision_rows(sheets)}
    context |= {"may_edit": request.user.may(Permission.EDIT_MOTORS), "is_newest": sheet in sheets[:1]}
    if sheet is not None:
        context |= page.sheet_context(sheet, motor, _units(request))
        context["sign_form"] = sign_form or SignForm(initial={"version": sheet.version})
    status = 422 if sign_form is not None else 200
    return render(request, "office/thrust_sheet.html", context, status=status)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_MOTORS)
def edit_thrust_sheet(request: ShopRequest, pk: int) -> HttpResponse:
    """Fill a thrust sheet in; a button works it out without saving, for browsers without scripts."""
    motor, newest = _motor(pk), ThrustSheet.objects.filter(motor_id=pk).order_by("-revision").first()
    stored = newest.entries if newest else entries_from_plate(motor)
    form = SheetForm(request.POST or None, initial={"version": newest.version if newest else 0})
    sheet, status = ThrustForm(request.POST or None, stored, _units(request)), 200
    if request.method == "POST" and request.POST.get("do") != "work_out":
        status = _save(request, motor, form, sheet)
        if status == 200:
            messages.success(request, _("Thrust sheet saved."))
            return redirect("office:thrust_sheet", pk=pk)
    return _edit_page(request, motor, form, sheet, status)


def _save(request: ShopRequest, motor: Motor, form: SheetForm, sheet: ThrustForm) -> int:
    """Save what was typed; return 200, or 422 or 409 with the reasons in the forms."""
    if not (form.is_valid() and sheet.is_valid()):
        return 422
    return save_guarded(
        form,
        lambda: save_thrust_sheet(
            actor=actor_of(request),
            motor=motor,
            entries=sheet.entries,
            confirmed=request.POST.getlist("confirmed"),
            **form.cleaned_data,
        ),
    )


def _edit_page(
    request: ShopRequest, motor: Motor, form: SheetForm, sheet: ThrustForm, status: int
) -> HttpResponse:
    newest = ThrustSheet.objects.of(motor).first()
    differs: list[tuple[str, str]] = []
    if status == 409 and newest is not None:
        with_version(form, newest.version)
        differs = page.stored_rows(sheet, newest.entries)
    confirmed = frozenset(
        request.POST.getlist("confirmed") if request.POST else newest.confirmed if newest else ()
    )
    context = {"motor": motor, "form": form, "newest": newest, "differs": differs}
    context |= page.form_context(sheet, confirmed, motor)
    return render(request, "office/thrust_form.html", context, status=status)


@require_POST
@allow(Permission.EDIT_MOTORS)
def thrust_working(request: ShopRequest, pk: int) -> HttpResponse:
    """Return what follows from the figures while one types; nothing is saved."""
    motor, sheet = _motor(pk), ThrustForm(request.POST, {}, _units(request))
    context = page.form_context(sheet, frozenset(request.POST.getlist("confirmed")), motor)
    return render(request, "office/_thrust_result.html", {"motor": motor, "live": True, **context})


@require_POST
@allow(Permission.EDIT_MOTORS)
def sign_thrust_sheet(request: ShopRequest, pk: int) -> HttpResponse:
    """Sign the newest revision."""
    motor = _motor(pk)
    sheets = list(ThrustSheet.objects.of(motor))
    if not sheets:
        raise Http404
    form = SignForm(request.POST)
    actor = actor_of(request)
    if save_guarded(form, lambda: sign(actor=actor, sheet=sheets[0], **form.cleaned_data)) != 200:
        with_version(form, sheets[0].version)
        return _sheet_page(request, motor, sheets[0], sheets, form)
    messages.success(request, _("Revision {number} signed.").format(number=sheets[0].revision))
    return redirect("office:thrust_sheet", pk=pk)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_MOTORS)
def use_thrust(request: ShopRequest, pk: int) -> HttpResponse:
    """Choose, figure by figure, what stands on the motor from now on: the plate's or the sheet's."""
    motor = _motor(pk)
    sheet = get_object_or_404(ThrustSheet.objects.of(motor)[:1])
    shown = {"form_key": new_key(), "version": sheet.version, "motor_version": motor.version}
    form = UseForm(request.POST or None, initial=shown)
    if request.method == "POST" and form.is_valid() and _used(request, form, sheet):
        messages.success(request, _("Figures saved to the motor."))
        return redirect("office:motor", pk=pk)
    if form.errors:
        # The page shows both as they stand now, so a choice made on it is about these.
        with_version(form, sheet.version)
        form.data = {**form.data, "motor_version": str(motor.version)}
    rows = page.use_rows(sheet, motor, request.POST if request.method == "POST" else None, _units(request))
    context = {"motor": motor, "sheet": sheet, "form": form, "rows": rows}
    return render(request, "office/thrust_use.html", context, status=422 if form.errors else 200)


def _used(request: ShopRequest, form: UseForm, sheet: ThrustSheet) -> dict[str, object] | None:
    """Write the chosen figures to the motor once for the form's key."""
    actor, choices = actor_of(request), request.POST.dict()
    version, motor_version = form.cleaned_data["version"], form.cleaned_data["motor_version"]

    def work() -> dict[str, object]:
        motor = use_thrust_sheet(
            actor=actor, sheet=sheet, version=version, motor_version=motor_version, choices=choices,
            units=request.user.units,
        )  # fmt: skip
        return {"pk": motor.pk}

    return save_once(actor, form, work, body=choices)
