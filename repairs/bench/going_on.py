"""Go on at a shared tablet after a pause, and choose a PIN in place of one that was given for one use."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from repairs.bench.kept_forms import read_kept_form
from repairs.bench.sign_in_forms import PasswordForm, PinForm
from repairs.bench.signing_in import is_password_of, next_page
from repairs.people.bench_services import PinRefusedError, sign_in_by_password, sign_in_by_pin
from repairs.people.middleware import BENCH, actor_of
from repairs.people.models import Device
from repairs.people.permissions import Permission, allow
from repairs.people.pin_forms import NewPinForm
from repairs.people.pin_services import PinError, set_own_pin
from repairs.people.requests import ShopRequest
from repairs.people.tablet_session import device_of, resume


@require_http_methods(["GET", "POST"])
@allow(Permission.VIEW_SHOP)
@sensitive_post_parameters("pin", "password")
def go_on(request: ShopRequest) -> HttpResponse:
    """Ask whoever was here for the PIN again; what they had sent meanwhile goes on its way after it."""
    device = device_of(request)
    if device is None:
        return redirect("home")
    # A session that was opened for everything is not opened again by a PIN, which is for the bench.
    by_pin = BENCH in request.session
    form_class = PinForm if by_pin and "password" not in request.POST else PasswordForm
    form = form_class(request.POST or None)
    if request.method == "POST" and form.is_valid() and _is_back(request, device, form):
        return _where_they_were(request)
    context = {
        "form": form,
        "by_pin": by_pin,
        "idle_minutes": settings.BENCH_IDLE_MINUTES,
        "next": next_page(request),
        "kept": request.POST.get("kept", ""),
    }
    return render(request, "bench/go_on.html", context, status=422 if form.errors else 200)


def _is_back(request: ShopRequest, device: Device, form: forms.Form) -> bool:
    """Whether it is the person who was here; a refusal is said in the form."""
    person, used = request.user, None
    if isinstance(form, PinForm):
        try:
            used = sign_in_by_pin(device=device, person=person, pin=form.cleaned_data["pin"], again=True)
        except PinRefusedError as error:
            form.add_error("pin", str(error))
            return False
    elif is_password_of(request, person, form):
        sign_in_by_password(device=device, person=person, again=True)
    else:
        return False
    resume(request, device=device, pin=used)
    return True


def _where_they_were(request: ShopRequest) -> HttpResponse:
    """Send on what was kept, or show the page that was asked for."""
    text = request.POST.get("kept", "")
    kept = read_kept_form(text, request.user.pk) if text else None
    if kept is not None:
        return render(request, "bench/send_on.html", {"kept": kept})
    if text:
        messages.error(request, _("Your entry from before the pause could not be saved. Enter it again."))
    return redirect(next_page(request) or "home")


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
@sensitive_post_parameters("pin", "again")
def new_pin(request: ShopRequest) -> HttpResponse:
    """Let a person choose a PIN in place of the one for one use, before anything else."""
    device, bench = device_of(request), request.session.get(BENCH)
    if device is None or bench is None or not bench["must_change"]:
        return redirect("home")
    form = NewPinForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            chosen = set_own_pin(actor=actor_of(request), person=request.user, pin=form.cleaned_data["pin"])
        except PinError as error:
            form.add_error(error.field, str(error))
        else:
            resume(request, device=device, pin=chosen)
            messages.success(request, _("Your PIN is set. Do not share it."))
            return redirect(next_page(request) or "home")
    context = {"form": form, "digits": settings.PIN_DIGITS, "next": next_page(request)}
    return render(request, "bench/new_pin.html", context, status=422 if form.errors else 200)
