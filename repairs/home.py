"""The first page, and small addresses that belong to no reader alone."""

from __future__ import annotations

from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from repairs.people.permissions import Permission, Role, allow, open_to_everyone


@require_GET
@allow(Permission.VIEW_SHOP)
def home(request: HttpRequest) -> HttpResponse:
    """Send each reader to the page that they work on."""
    at_the_bench = request.user.is_authenticated and request.user.role == Role.TECHNICIAN
    return redirect("bench:home" if at_the_bench else "office:board")


@require_GET
@open_to_everyone
def favicon(request: HttpRequest) -> HttpResponse:
    """Answer browsers that ask for the old address."""
    return redirect(staticfiles_storage.url("img/mark.svg"))
