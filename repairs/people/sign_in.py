"""Sign in by password and sign out, so that no session hands anything on to the next person."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils.translation import gettext_lazy as _

from repairs.people.known_browsers import remember_browser
from repairs.people.sign_in_accounts import account_of
from repairs.people.sign_in_limits import TooManyTriesError, person_with_password
from repairs.people.tablet_session import DEVICE, leave


class SignInForm(AuthenticationForm):
    """Name and password; whatever is wrong with them is said in one sentence."""

    error_messages = {
        "invalid_login": _("Name and password do not match. Check Caps Lock and try again."),
        "inactive": _("Name and password do not match. Check Caps Lock and try again."),
    }
    wait_seconds = 0
    # Hashing a text of megabytes would keep a server busy for nothing.
    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=1000,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def clean(self) -> dict[str, object]:
        """Compare the password, unless too many were tried."""
        name, password = self.cleaned_data.get("username"), self.cleaned_data.get("password")
        if name is not None and password and self.request is not None:
            try:
                self.user_cache = person_with_password(self.request, name, password)
            except TooManyTriesError as held:
                self.wait_seconds = held.seconds
                raise ValidationError(str(held), code="held") from held
            if self.user_cache is None:
                raise self.get_invalid_login_error()
        return self.cleaned_data


class SignIn(LoginView):
    """Sign in by password."""

    form_class = SignInForm

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Begin a session of its own: one that was for the bench must not become one for everything."""
        leave(self.request)
        response = super().form_valid(form)
        remember_browser(self.request, response, account_of(form.cleaned_data["username"]))
        return response

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        """Say why not, and to programs also how long to wait."""
        response = super().form_invalid(form)
        response.status_code = 422
        if seconds := getattr(form, "wait_seconds", 0):
            response.status_code = 429
            response.headers["Retry-After"] = str(seconds)
        return response


class SignOut(LogoutView):
    """Sign out; a shared tablet shows its people again."""

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:  # type: ignore[override]
        """Leave nothing of the session behind."""
        on_a_tablet = DEVICE in request.session
        leave(request)
        return redirect("bench:people" if on_a_tablet else "login")
