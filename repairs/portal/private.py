"""What every page behind a private link keeps to: one job, no traces, one answer to whoever has no right."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone

from repairs.documents.links import job_behind
from repairs.people.permissions import open_to_everyone
from repairs.work_orders.models import Job

# A page with a form says where it came from, to this host alone; every other one says nothing.
SAME_ORIGIN: Final = "same-origin"
HEADERS: Final = {
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow",
    "Cache-Control": "private, no-store",
}
PrivateView = Callable[..., HttpResponseBase]


def behind_link(view: PrivateView) -> PrivateView:
    """Open a view to whoever holds a usable token; the view is given the job. Everybody else reads the same 404."""

    @wraps(view)
    def guarded(request: HttpRequest, token: str, **more: Any) -> HttpResponseBase:
        job: Job | None = job_behind(token, timezone.now())
        try:
            response = not_there(request) if job is None else view(request, job, token, **more)
        except Http404:
            response = not_there(request)
        with_form = response.headers.get("Referrer-Policy") == SAME_ORIGIN
        for name, value in HEADERS.items():
            response.headers[name] = value
        if with_form:
            response.headers["Referrer-Policy"] = SAME_ORIGIN
        return response

    return open_to_everyone(guarded)


def not_there(request: HttpRequest) -> HttpResponseBase:
    """Answer that nothing is here, whatever the reason."""
    return render(request, "portal/not_there.html", status=404)
