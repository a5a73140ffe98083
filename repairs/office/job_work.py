"""Hours, parts and outside work of a job, for whoever estimates and invoices."""

from __future__ import annotations

from datetime import timedelta

from django.db.models import F
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import Job, WorkPeriod


@require_GET
@allow(Permission.VIEW_SHOP)
def job_work(request: ShopRequest, number: str) -> HttpResponse:
    """Show the time worked by step and person, parts and outside work."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    return render(request, "office/job_work.html", work_context(job))


def work_context(job: Job) -> dict[str, object]:
    """Return what a job cost so far; a clock that still runs is named and not counted."""
    steps = WorkPeriod.objects.all().by_step(job)
    periods = (
        WorkPeriod.objects.filter(step__job=job)
        .select_related("step")
        .order_by(F("ended_at").asc(nulls_first=True))
    )
    return {
        "job": job,
        "steps": [(title, hours(worked)) for title, worked in steps],
        "total": hours(sum((worked for _title, worked in steps), timedelta())),
        "running": [period for period in periods if period.ended_at is None],
        "periods": [
            (period, hours(period.ended_at - period.started_at)) for period in periods if period.ended_at
        ],
        "used": job.used_parts.all(),
        "stripped": job.stripped_parts.all(),
        "services": job.outside_services.all(),
    }


def hours(worked: timedelta) -> str:
    """Return a time as hours and minutes: 3:05."""
    minutes = round(worked.total_seconds() / 60)
    return f"{minutes // 60}:{minutes % 60:02d}"
