"""Answers that ask nothing of the database: a request that cannot be read, a machine in trouble, a failed server."""

from __future__ import annotations

import sys
from typing import Final

from django.db import DataError
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.views.defaults import page_not_found

from repairs.edge.faults import Fault, passing_fault

# An entry that a tablet kept and sends now; it is answered in JSON, never by a page.
OUTBOX_HEADER: Final = "X-Outbox"
RETRY_AFTER_SECONDS: Final = 10
# A form is offered for sending again within its 503 page where it is short and holds no secret.
MOST_KEPT: Final = 200_000


def refused(request: HttpRequest, words: str, status: int = 400) -> HttpResponse:
    """Say plainly why a request is not carried out; a tablet's entry comes back to its author with these words."""
    if OUTBOX_HEADER in request.headers:
        answer = {"state": "refused", "words": words, "url": request.path}
        return JsonResponse(answer, status=status)
    return HttpResponse(render_to_string("400.html", {"words": words}), status=status)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer what the framework itself refuses, such as a foreign host name."""
    return refused(request, _("This request could not be read. Reload the page and try again."))


def not_found(request: HttpRequest, exception: Exception) -> HttpResponseBase:
    """Answer an address that leads nowhere."""
    if OUTBOX_HEADER in request.headers:
        return refused(request, _("The job or entry this belongs to no longer exists."), 404)
    return page_not_found(request, exception)


def server_error(request: HttpRequest) -> HttpResponse:
    """Answer an error that nobody caught: 503 while a fault passes, 400 for a value the database refused."""
    error = sys.exc_info()[1]
    if fault := passing_fault(error):
        return _passing(request, fault)
    if isinstance(error, DataError):
        return refused(request, _("A value is too long or too large. Shorten it and save again."))
    if OUTBOX_HEADER in request.headers:
        return JsonResponse({"state": "failed"}, status=500)
    return HttpResponse(render_to_string("500.html"), status=500)


def _passing(request: HttpRequest, fault: Fault) -> HttpResponse:
    """Ask for patience; what was sent can be sent again from the page, under the same key."""
    headers = {"Retry-After": str(RETRY_AFTER_SECONDS), "Cache-Control": "no-store"}
    if OUTBOX_HEADER in request.headers:
        return JsonResponse({"state": "wait", "fault": fault}, status=503, headers=headers)
    context: dict[str, object] = {
        "fault": fault,
        "sent": request.method != "GET",
        "url": request.get_full_path(),
    }
    context["fields"] = _fields(request)
    return HttpResponse(render_to_string("503.html", context), status=503, headers=headers)


def _fields(request: HttpRequest) -> list[tuple[str, str]]:
    """Return what a form held, to be sent again; nothing where it holds files, a secret or too much."""
    try:
        if request.method != "POST" or request.FILES:
            return []
        fields = [(name, value) for name, values in request.POST.lists() for value in values]
    except OSError:
        # The disk was full while the form was being read.
        return []
    secret = any(word in name for name, _value in fields for word in ("password", "pin", "code"))
    too_much = sum(len(value) for _name, value in fields) > MOST_KEPT
    return [] if secret or too_much else fields
