"""Sign in at a shared tablet: pick a name, enter the PIN; change over to somebody else."""

from __future__ import annotations

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from repairs.bench.sign_in_forms import PasswordForm, PinForm
from repairs.people.bench_services import PinRefusedError, locked_words, sign_in_by_password, sign_in_by_pin
from repairs.people.models import Device, Pin, User
from repairs.people.permissions import open_to_everyone
from repairs.people.sign_in_limits import TooManyTriesError, person_with_password
from repairs.people.tablet_session import device_of, leave, renew_token, start_bench


def next_page(request: HttpRequest) -> str:
    """Return the page of this shop that was asked for, or nothing."""
    asked = request.POST.get("next") or request.GET.get("next") or ""
    ours = url_has_allowed_host_and_scheme(asked, allowed_hosts=None)
    return asked if ours and asked.startswith("/") else ""


@require_GET
@open_to_everyone
def people(request: HttpRequest) -> HttpResponse:
    """Ask who is at the bench."""
    device = device_of(request)
    if device is None:
        return render(request, "bench/not_enrolled.html", status=403)
    context = {"device": device, "pins": Pin.objects.of_people_who_work(), "next": next_page(request)}
    response = render(request, "bench/people.html", context)
    renew_token(request, response)
    return response


@require_http_methods(["GET", "POST"])
@open_to_everyone
@sensitive_post_parameters("pin")
def pin(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for the PIN of whoever was picked, and let them in."""
    device, kept = device_of(request), Pin.objects.of_people_who_work().filter(person_id=pk).first()
    if device is None or kept is None:
        return redirect("bench:people")
    form, seconds = PinForm(request.POST or None), 0
    if request.method == "POST" and form.is_valid():
        try:
            used = sign_in_by_pin(device=device, person=kept.person, pin=form.cleaned_data["pin"])
        except PinRefusedError as error:
            form.add_error("pin", str(error))
            seconds = error.seconds
        else:
            return let_in(request, device, kept.person, used)
    return _pin_page(request, kept, form, seconds)


def _pin_page(request: HttpRequest, kept: Pin, form: PinForm, seconds: int) -> HttpResponse:
    context: dict[str, object] = {
        "person": kept.person,
        "form": form,
        "next": next_page(request),
        "seconds": seconds,
    }
    if kept.is_locked(timezone.now()) and not form.errors:
        context["locked"] = locked_words(kept)
    return render(request, "bench/pin.html", context, status=422 if form.errors else 200)


def let_in(request: HttpRequest, device: Device, person: User, pin: Pin | None) -> HttpResponse:
    """Open the bench for somebody, at the page that was asked for before."""
    target = next_page(request)
    start_bench(request, device=device, person=person, pin=pin)
    return redirect(target or "bench:home")


def is_password_of(request: HttpRequest, person: User, form: forms.Form) -> bool:
    """Whether the password is the person's; a wrong one is counted and said in the form."""
    try:
        if person_with_password(request, person.get_username(), form.cleaned_data["password"]) == person:
            return True
    except TooManyTriesError as held:
        form.add_error("password", str(held))
        return False
    form.add_error("password", _("Wrong password. Enter it again."))
    return False


@require_http_methods(["GET", "POST"])
@open_to_everyone
@sensitive_post_parameters("password")
def pin_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Let somebody in by password, for the bench alone: the PIN is shut or forgotten."""
    device, kept = device_of(request), Pin.objects.of_people_who_work().filter(person_id=pk).first()
    if device is None or kept is None:
        return redirect("bench:people")
    form = PasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and is_password_of(request, kept.person, form):
        sign_in_by_password(device=device, person=kept.person)
        return let_in(request, device, kept.person, None)
    context = {"person": kept.person, "form": form, "next": next_page(request)}
    return render(request, "bench/pin_password.html", context, status=422 if form.errors else 200)


@require_POST
@open_to_everyone
def switch(request: HttpRequest) -> HttpResponse:
    """Leave the tablet to the next person."""
    leave(request)
    return redirect("bench:people")
