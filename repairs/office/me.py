"""Everybody's own settings, and their own PIN for the shared tablets."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from repairs.office.device_forms import OwnPasswordForm, OwnPinForm
from repairs.office.people import save_person
from repairs.office.people_forms import SettingsForm
from repairs.people.middleware import actor_of
from repairs.people.models import Pin, User
from repairs.people.permissions import BENCH_ROLES, Permission, allow
from repairs.people.pin_services import PinError, set_own_pin, unlock_pin
from repairs.people.requests import ShopRequest
from repairs.people.services import PersonError, change_own_settings, set_password
from repairs.people.sign_in_limits import TooManyTriesError, person_with_password


@require_http_methods(["GET", "POST"])
@allow(Permission.VIEW_SHOP)
def me(request: ShopRequest) -> HttpResponse:
    """Everybody's own units and language."""
    user = User.objects.get(pk=request.user.pk)
    form = SettingsForm(request.POST or None, initial=_settings_of(user))
    status = 200
    if request.method == "POST":
        status = save_person(
            form, lambda: change_own_settings(actor=actor_of(request), person=user, **form.cleaned_data)
        )
        if status == 200:
            messages.success(request, _("Settings saved."))
            return redirect("office:me")
    return _page(request, form, OwnPinForm(), status)


def _settings_of(user: User) -> dict[str, object]:
    return {name: getattr(user, name) for name in ("units", "language", "version")}


def _page(
    request: ShopRequest,
    form: SettingsForm,
    pin_form: OwnPinForm,
    status: int,
    password_form: OwnPasswordForm | None = None,
) -> HttpResponse:
    context = {
        "form": form,
        "password_form": password_form or OwnPasswordForm(),
        "pin_form": pin_form if request.user.role in BENCH_ROLES else None,
        "pin": Pin.objects.filter(person=request.user).first(),
    }
    return render(request, "office/me.html", context, status=status)


@require_POST
@allow(Permission.VIEW_SHOP)
@sensitive_post_parameters("password", "pin", "again")
def my_pin(request: ShopRequest) -> HttpResponse:
    """Let people choose their PIN, once the password shows that it is they."""
    form = OwnPinForm(request.POST)
    if form.is_valid() and _is_own_password(request, form):
        try:
            set_own_pin(actor=actor_of(request), person=request.user, pin=form.cleaned_data["pin"])
        except PinError as error:
            form.add_error(error.field, str(error))
        else:
            messages.success(request, _("PIN set. It opens the bench on the shop's tablets."))
            return redirect("office:me")
    user = User.objects.get(pk=request.user.pk)
    return _page(request, SettingsForm(initial=_settings_of(user)), form, 422)


@require_POST
@allow(Permission.VIEW_SHOP)
@sensitive_post_parameters("password", "new", "again")
def my_password(request: ShopRequest) -> HttpResponse:
    """Let people choose another password, once the one before shows that it is they. This session goes on."""
    form = OwnPasswordForm(request.POST)
    user = User.objects.get(pk=request.user.pk)
    if form.is_valid() and _is_own_password(request, form):
        try:
            set_password(actor=actor_of(request), person=user, password=form.cleaned_data["new"])
        except PersonError as error:
            form.add_error("new", str(error))
        else:
            update_session_auth_hash(request, User.objects.get(pk=user.pk))
            messages.success(request, _("Password changed. Other devices must sign in again."))
            return redirect("office:me")
    return _page(request, SettingsForm(initial=_settings_of(user)), OwnPinForm(), 422, form)


def _is_own_password(request: ShopRequest, form: OwnPinForm | OwnPasswordForm) -> bool:
    password = form.cleaned_data["password"]
    try:
        if person_with_password(request, request.user.get_username(), password) == request.user:
            return True
    except TooManyTriesError as held:
        form.add_error("password", str(held))
        return False
    form.add_error("password", _("Wrong password. Type it again."))
    return False


@require_POST
@allow(Permission.VIEW_SHOP)
def my_pin_unlock(request: ShopRequest) -> HttpResponse:
    """Take wrong tries off one's own PIN; the session was opened by password."""
    unlock_pin(actor=actor_of(request), person=request.user)
    messages.success(request, _("Your PIN is unlocked."))
    return redirect("office:me")
