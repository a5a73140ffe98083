"""Sign in by password and sign out, so that no session hands anything on to the next person."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect

from repairs.people.tablet_session import DEVICE, leave


class SignIn(LoginView):
    """Sign in by password."""

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Begin a session of its own: one that was for the bench must not become one for everything."""
        leave(self.request)
        return super().form_valid(form)


class SignOut(LogoutView):
    """Sign out; a shared tablet shows its people again."""

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:  # type: ignore[override]
        """Leave nothing of the session behind."""
        on_a_tablet = DEVICE in request.session
        leave(request)
        return redirect("bench:people" if on_a_tablet else "login")
