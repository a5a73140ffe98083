"""Shared tablets and the PINs that open the bench on them."""

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
from django.views.decorators.http import require_GET, require_POST

from repairs.ledger.services import LedgerError, carry_out_once
from repairs.office.device_forms import KeyForm, NewDeviceForm, UnlockForm
from repairs.people.device_services import add_device, give_new_code, withdraw_device
from repairs.people.finding import people_with_pins
from repairs.people.middleware import actor_of
from repairs.people.models import Device, User
from repairs.people.permissions import Permission, allow
from repairs.people.pin_services import give_one_time_pin, unlock_pin
from repairs.people.requests import ShopRequest
from repairs.people.services import PersonError


@require_GET
@allow(Permission.UNLOCK_PINS)
def devices(request: ShopRequest) -> HttpResponse:
    """Show the tablets to whoever manages them, and who has a PIN, or one that is locked."""
    return _page(request, _new_form())


def _new_form() -> NewDeviceForm:
    return NewDeviceForm(initial={"form_key": uuid4().hex})


def _page(request: ShopRequest, form: forms.Form, **more: Any) -> HttpResponse:
    """Show the page. A code or PIN that was just given stands on this one answer and is kept nowhere."""
    manages = request.user.may(Permission.MANAGE_PEOPLE)
    context = {
        "now": timezone.now(),
        "may_manage": manages,
        "devices": Device.objects.with_people() if manages else [],
        "people": people_with_pins(),
        "form": form if isinstance(form, NewDeviceForm) else _new_form(),
        "refused": form if form.errors and not isinstance(form, NewDeviceForm) else None,
        "form_key": uuid4().hex,
        **more,
    }
    return render(request, "office/devices.html", context, status=422 if form.errors else 200)


def _once(request: ShopRequest, form: KeyForm, work: Callable[[], dict[str, object]], **subject: Any) -> str:
    """Carry a form out once; say whether it was done now, was done already, or is refused (reasons in the form)."""
    if not form.is_valid():
        return "refused"
    body = {**form.cleaned_data, **subject}
    try:
        _answer, again = carry_out_once(
            actor=actor_of(request), key=form.cleaned_data["form_key"], body=body, work=work
        )
    except (PersonError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return "refused"
    return "again" if again else "done"


def _given(request: ShopRequest, form: KeyForm, outcome: str, **given: Any) -> HttpResponse:
    """Show what was given; a form that came twice gets no second look at it."""
    if outcome == "again":
        messages.warning(request, _("This was already shown once. If nobody wrote it down, make a new one."))
        return redirect("office:devices")
    return _page(request, form if outcome == "refused" else KeyForm(), **(given if outcome == "done" else {}))


@require_POST
@allow(Permission.MANAGE_PEOPLE)
def new_device(request: ShopRequest) -> HttpResponse:
    """Add a tablet and show its code."""
    form = NewDeviceForm(request.POST)
    given: dict[str, Any] = {}

    def work() -> dict[str, object]:
        given["device"], given["code"] = add_device(actor=actor_of(request), name=form.cleaned_data["name"])
        return {"pk": given["device"].pk}

    return _given(request, form, _once(request, form, work), **given)


@require_POST
@allow(Permission.MANAGE_PEOPLE)
def device_code(request: ShopRequest, pk: int) -> HttpResponse:
    """Give a tablet another code and show it."""
    device, form = get_object_or_404(Device, pk=pk), KeyForm(request.POST)
    given: dict[str, object] = {}

    def work() -> dict[str, object]:
        given["device"], given["code"] = give_new_code(actor=actor_of(request), device=device)
        return {"pk": pk}

    return _given(request, form, _once(request, form, work, device=pk), **given)


@require_POST
@allow(Permission.MANAGE_PEOPLE)
def device_withdraw(request: ShopRequest, pk: int) -> HttpResponse:
    """Take a tablet out of use; doing it twice changes nothing more."""
    device = withdraw_device(actor=actor_of(request), device=get_object_or_404(Device, pk=pk))
    messages.success(request, _("{name} disabled. Anyone using it is signed out.").format(name=device.name))
    return redirect("office:devices")


@require_POST
@allow(Permission.MANAGE_PEOPLE)
def person_pin(request: ShopRequest, pk: int) -> HttpResponse:
    """Give somebody a PIN for one use and show it."""
    person, form = get_object_or_404(User, pk=pk), KeyForm(request.POST)
    given: dict[str, object] = {}

    def work() -> dict[str, object]:
        given["person"], given["pin"] = person, give_one_time_pin(actor=actor_of(request), person=person)
        return {"pk": pk}

    return _given(request, form, _once(request, form, work, person=pk), **given)


@require_POST
@allow(Permission.UNLOCK_PINS)
def person_unlock(request: ShopRequest, pk: int) -> HttpResponse:
    """Take wrong tries off somebody's PIN."""
    person, form = get_object_or_404(User, pk=pk), UnlockForm(request.POST)

    def work() -> dict[str, object]:
        unlock_pin(actor=actor_of(request), person=person, note=form.cleaned_data["note"])
        return {"pk": pk}

    if _once(request, form, work, person=pk) == "refused":
        return _page(request, form, unlocking=pk)
    messages.success(request, _("PIN of {name} unlocked.").format(name=person))
    return redirect("office:devices")
