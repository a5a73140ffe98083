"""When the shop was backed up last, and how to have it done every day."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from repairs.backups.last import LATE_AFTER, backup_state
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


@require_GET
@allow(Permission.MANAGE_BACKUPS)
def backups(request: ShopRequest) -> HttpResponse:
    """Show the last good backup and its age."""
    context = {
        "state": backup_state(settings.SHOP_FOLDER, timezone.now()),
        "late_after_hours": round(LATE_AFTER.total_seconds() / 3600),
    }
    return render(request, "office/backups.html", context)
