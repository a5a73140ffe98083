"""Find a job, a motor or a customer as one types."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode, urlsplit

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers
from django_htmx.http import replace_url

from repairs.office.addresses import customer_address, job_address, motor_address
from repairs.office.short_words import date_words, late_words
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.finding import Found, FoundJob, FoundMotor, find
from repairs.work_orders.models import Job


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def search(request: ShopRequest) -> HttpResponse:
    """Answer what was typed; a job's whole number, sent off, leads to the job itself."""
    typed = request.GET.get("q", "")
    found = find(typed)
    part = request.htmx and not request.htmx.history_restore_request
    if not part and (job := _named_by_number(found)):
        return redirect(job_address(job.number))
    context = _context(typed, found, timezone.localdate())
    response = render(request, "office/_search.html" if part else "office/search.html", context)
    # While one types, the page before stays one step back: only the first letter makes a new entry.
    if part and urlsplit(request.htmx.current_url or "").path == reverse("office:search"):
        return replace_url(response, f"{reverse('office:search')}?{urlencode({'q': typed})}")
    return response


def _named_by_number(found: Found) -> FoundJob | None:
    return next((job for job in found.jobs if job.number.casefold() == found.asked), None)


@dataclass(frozen=True, slots=True)
class Hit:
    """One line of the answer: what it is called, what tells it apart, where it leads."""

    name: str
    url: str
    words: str
    state: str = ""
    late: bool = False


def _context(typed: str, found: Found, today: date) -> dict[str, object]:
    groups = (
        (_("Jobs"), [_job_hit(job, today) for job in found.jobs]),
        (_("Motors"), [_motor_hit(motor) for motor in found.motors]),
        (_("Customers"), [Hit(one.name, customer_address(one.pk), "") for one in found.customers]),
    )
    return {
        "search_text": typed[:120],
        "asked": found.asked,
        "groups": [(title, hits) for title, hits in groups if hits],
        "more": bool(found.more),
    }


def _job_hit(job: FoundJob, today: date) -> Hit:
    late = (today - job.promised_on).days if job.promised_on and job.state == Job.State.OPEN else 0
    state = job.step_title if job.state == Job.State.OPEN else capfirst(str(Job.State(job.state).label))
    if late > 0:
        state = f"{state} · {late_words(late)}"
    elif job.promised_on and job.state == Job.State.OPEN:
        state = f"{state} · {date_words(job.promised_on, today)}"
    words = _joined(job.customer, job.tag, job.serial, job.site, job.purchase_order)
    return Hit(job.number, job_address(job.number), words, state, late > 0)


def _motor_hit(motor: FoundMotor) -> Hit:
    words = _joined(motor.serial if motor.tag else "", motor.customer, motor.site)
    return Hit(motor.tag or motor.serial or _("no tag"), motor_address(motor.pk), words)


def _joined(*words: str | None) -> str:
    return " · ".join(word for word in words if word)
