"""The history of a job's motor at the bench."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from repairs.bench.recorder import find_job
from repairs.measurements.history.page import history_context
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


@require_GET
@allow(Permission.VIEW_SHOP)
def motor_trends(request: ShopRequest, number: str) -> HttpResponse:
    """Show what the visits of the job's motor tell together."""
    job = find_job(number)
    context = {"job": job, **history_context(job.motor, request.user.unit_system)}
    return render(request, "bench/motor_trends.html", context)
