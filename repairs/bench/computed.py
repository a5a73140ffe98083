"""Computed vs. measured of a job, at the bench."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from repairs.bench.recorder import find_job
from repairs.measurements.computed.presenting import computed_sheet
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


@require_GET
@allow(Permission.WORK_STEPS)
def computed(request: ShopRequest, number: str) -> HttpResponse:
    """Show what the checker computed of the stack as built beside what was measured."""
    job = find_job(number)
    context = {"job": job, "computed": computed_sheet(job, request.user.unit_system)}
    return render(request, "bench/computed.html", context)
