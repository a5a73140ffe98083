"""What an administrator is told of the backups on every page."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone

from repairs.backups.last import backup_state
from repairs.people.permissions import Permission, role_may


def backup_warning(request: HttpRequest) -> dict[str, object]:
    """Give pages of an administrator the state of the backups while it needs something done. Makes no query."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated or not role_may(user.role, Permission.MANAGE_BACKUPS):
        return {}
    state = backup_state(settings.SHOP_FOLDER, timezone.now())
    return {"late_backup": state} if state.is_late and not state.is_demo else {}
