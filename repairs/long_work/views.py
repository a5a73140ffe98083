"""Watch long work, and start it again."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers
from django_htmx.http import trigger_client_event

from repairs.long_work.kinds import Result, UnknownKindError, kind_of
from repairs.long_work.models import LongWork
from repairs.long_work.services import LongWorkError, start_again
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


def progress_context(work: LongWork) -> dict[str, object]:
    """Return what ``parts/_long_work.html`` shows, for any page that holds it."""
    kind = kind_of(work.kind)
    result = kind.result(work) if work.state == LongWork.State.DONE else Result("")
    return {"work": work, "work_label": kind.label, "work_result": result}


def _watched(request: ShopRequest, pk: int) -> LongWork:
    """Return the work, if the reader may see what it is about."""
    work = get_object_or_404(LongWork, pk=pk)
    try:
        permission = kind_of(work.kind).permission
    except UnknownKindError as error:
        raise Http404 from error
    if not request.user.may(permission):
        raise PermissionDenied
    return work


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def long_work(request: ShopRequest, pk: int) -> HttpResponse:
    """Show how far a piece of work is; as a part of a page it asks again every second."""
    work = _watched(request, pk)
    if not request.htmx or request.htmx.history_restore_request:
        return render(request, "long_work/page.html", progress_context(work))
    answer = render(request, "parts/_long_work.html", progress_context(work))
    return answer if work.is_going else trigger_client_event(answer, "long-work-ended")


@require_POST
@allow(Permission.VIEW_SHOP)
def long_work_again(request: ShopRequest, pk: int) -> HttpResponse:
    """Start work again that was interrupted or failed."""
    try:
        start_again(actor=actor_of(request), work=_watched(request, pk))
    except LongWorkError as error:
        messages.error(request, str(error))
    return redirect("long_work", pk=pk)
