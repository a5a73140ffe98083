"""Who works at the bench, and with which PIN."""

from __future__ import annotations

from django.db.models import QuerySet

from repairs.people.models import User
from repairs.people.permissions import BENCH_ROLES, ROLE_MAP, Permission


def people_who_work() -> QuerySet[User]:
    """Return the people whose role works on steps, by name."""
    roles = [role for role, granted in ROLE_MAP.items() if Permission.WORK_STEPS in granted]
    return User.objects.filter(is_active=True, role__in=roles).order_by("first_name", "last_name", "username")


def people_with_pins() -> QuerySet[User]:
    """Return whoever may use a shared tablet, with the PIN of those who have one, by name."""
    people = User.objects.filter(is_active=True, role__in=BENCH_ROLES).select_related("pin")
    return people.order_by("first_name", "last_name", "username")
