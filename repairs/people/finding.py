"""Who works at the bench."""

from __future__ import annotations

from django.db.models import QuerySet

from repairs.people.models import User
from repairs.people.permissions import ROLE_MAP, Permission


def people_who_work() -> QuerySet[User]:
    """Return the people whose role works on steps, by name."""
    roles = [role for role, granted in ROLE_MAP.items() if Permission.WORK_STEPS in granted]
    return User.objects.filter(is_active=True, role__in=roles).order_by("first_name", "last_name", "username")
