"""The history of a motor in the office: trends over its visits, repeat failures, what came back different."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from repairs.measurements.history.page import history_context
from repairs.motors.models import Motor
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


@require_GET
@allow(Permission.VIEW_SHOP)
def motor_trends(request: ShopRequest, pk: int) -> HttpResponse:
    """Show what the visits of a motor tell together."""
    motor = get_object_or_404(Motor.objects.with_owner(), pk=pk)
    context = {"motor": motor, **history_context(motor, request.user.unit_system)}
    return render(request, "office/motor_trends.html", context)
