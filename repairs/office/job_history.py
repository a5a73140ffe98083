"""The whole history of a job, page by page."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from repairs.ledger.models import Event
from repairs.office.event_words import event_words
from repairs.office.job_page import Moments
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import Job

PAGE = 100


@require_GET
@allow(Permission.VIEW_SHOP)
def job_history(request: ShopRequest, number: str) -> HttpResponse:
    """Show everything that was done in a job, newest first."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    events = Event.objects.of_job(number).values_list("at", "actor_name", "verb", "before", "after", "reason")
    page = Paginator(events, PAGE).get_page(request.GET.get("page"))
    moments = Moments()
    rows = [
        (moments.at(at), who, event_words(verb, before, after, reason, moments.day))
        for at, who, verb, before, after, reason in page.object_list
    ]
    return render(request, "office/job_history.html", {"job": job, "page_obj": page, "events": rows})
