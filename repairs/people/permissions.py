"""What each role may do: one map in code, so that no page asks the database for a permission."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Final, cast

from django.core.exceptions import PermissionDenied
from django.db import models
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import resolve_url
from django.utils.translation import gettext_lazy as _
from django_htmx.http import HttpResponseClientRedirect


class Role(models.TextChoices):
    OFFICE = "office", _("front office")
    TECHNICIAN = "technician", _("technician")
    LEAD = "lead", _("lead")
    ENGINEER = "engineer", _("engineer")
    ADMINISTRATOR = "administrator", _("administrator")


class Permission(models.TextChoices):
    VIEW_SHOP = "view_shop", _("see jobs, motors, customers and the bearing book")
    OPEN_JOBS = "open_jobs", _("open jobs and edit job details")
    EDIT_CUSTOMERS = "edit_customers", _("change customers and contacts")
    EDIT_MOTORS = "edit_motors", _("change motors and nameplates")
    MERGE_RECORDS = "merge_records", _("merge duplicate motors and customers")
    UNDO_MERGES = "undo_merges", _("undo a merge")
    HOLD_JOBS = "hold_jobs", _("put jobs on hold and release them")
    WORK_STEPS = "work_steps", _("work on steps, record readings and photos, sign off")
    EDIT_ROUTE = "edit_route", _("add, skip and repeat steps of a job")
    RECORD_STACKS = "record_stacks", _("record stacks as found and as built")
    SPECIFY_STACKS = "specify_stacks", _("specify stacks")
    APPROVE_STACKS = "approve_stacks", _("approve specified stacks and accept findings")
    OVERRIDE_GATES = "override_gates", _("let a job proceed past a gate, with a reason")
    REOPEN_JOBS = "reopen_jobs", _("reopen closed and cancelled jobs with a reason")
    EDIT_LIMITS = "edit_limits", _("enter the limits that readings are judged by")
    ACCEPT_FACTORS = "accept_factors", _("accept factors learned from the shop's runs")
    CONFIRM_OVERRIDES = "confirm_overrides", _("confirm, as the second person, what a lead overrides")
    ISSUE_REPORTS = "issue_reports", _("issue reports and private links")
    REVIEW_REPORTS = "review_reports", _("review final reports")
    PRINT_DOCUMENTS = "print_documents", _("print documents")
    EDIT_BOOK = "edit_book", _("change the bearing book")
    EDIT_POLICY = "edit_policy", _("change shop policy and route templates")
    UNLOCK_PINS = "unlock_pins", _("unlock a locked PIN")
    MANAGE_PEOPLE = "manage_people", _("manage people and devices")
    MANAGE_BACKUPS = "manage_backups", _("see and set up backups")


_EVERYONE: Final = frozenset({Permission.VIEW_SHOP, Permission.PRINT_DOCUMENTS})
_SHOP_FLOOR: Final = _EVERYONE | {
    Permission.WORK_STEPS,
    Permission.RECORD_STACKS,
    Permission.EDIT_MOTORS,
    Permission.HOLD_JOBS,
}
ROLE_MAP: Final[dict[str, frozenset[Permission]]] = {
    Role.OFFICE: _EVERYONE
    | {
        Permission.OPEN_JOBS,
        Permission.EDIT_CUSTOMERS,
        Permission.EDIT_MOTORS,
        Permission.MERGE_RECORDS,
        Permission.HOLD_JOBS,
        Permission.ISSUE_REPORTS,
    },
    Role.TECHNICIAN: _SHOP_FLOOR,
    Role.ENGINEER: _SHOP_FLOOR
    | {
        Permission.SPECIFY_STACKS,
        Permission.EDIT_BOOK,
        Permission.CONFIRM_OVERRIDES,
        Permission.EDIT_LIMITS,
        Permission.ACCEPT_FACTORS,
    },
    Role.LEAD: frozenset(
        set(Permission)
        - {
            Permission.MANAGE_PEOPLE,
            Permission.MANAGE_BACKUPS,
            Permission.UNDO_MERGES,
            Permission.ACCEPT_FACTORS,
        }
    ),
    Role.ADMINISTRATOR: frozenset(Permission),
}

# Whoever manages people and devices gives out PINs and so has none: they sign in by password.
BENCH_ROLES: Final = frozenset(
    role
    for role, granted in ROLE_MAP.items()
    if Permission.WORK_STEPS in granted and Permission.MANAGE_PEOPLE not in granted
)

View = Callable[..., HttpResponseBase]


def role_may(role: str, permission: Permission) -> bool:
    """Whether a role allows it; an unknown role allows nothing."""
    return permission in ROLE_MAP.get(role, frozenset())


def allow(permission: Permission) -> Callable[[View], View]:
    """Let a view be used by people whose role allows ``permission``; others sign in or are refused."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not request.user.is_authenticated:
                return _ask_to_sign_in(request)
            if not request.user.may(permission):
                raise PermissionDenied
            return view(request, *args, **kwargs)

        cast(Any, guarded).required_permission = permission
        return guarded

    return decorate


def open_to_everyone(view: View) -> View:
    """Mark a view that needs no sign-in, so that the permission test knows it was meant."""
    cast(Any, view).required_permission = None
    return view


def _ask_to_sign_in(request: HttpRequest) -> HttpResponseBase:
    if getattr(request, "htmx", False):
        # A fragment must never be replaced by the sign-in page: send the whole browser there.
        return HttpResponseClientRedirect(f"{resolve_url('login')}?next={request.path}")
    # Imported late: the auth views need the user model, which itself imports this module.
    from django.contrib.auth.views import redirect_to_login

    return redirect_to_login(request.get_full_path())
