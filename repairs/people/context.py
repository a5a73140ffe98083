"""What every page's shell needs."""

from __future__ import annotations

from functools import cache

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from repairs.edge.room import room_of
from repairs.people.permissions import Permission, role_may

# (address name, words, what the reader must be allowed)
ENTRIES = (
    ("office:board", _("Board"), Permission.VIEW_SHOP),
    ("office:open_job", _("Open a job"), Permission.OPEN_JOBS),
    ("bench:home", _("Bench"), Permission.WORK_STEPS),
    ("office:motor_list", _("Motors"), Permission.VIEW_SHOP),
    ("office:customer_list", _("Customers"), Permission.VIEW_SHOP),
    ("office:book", _("Bearing book"), Permission.VIEW_SHOP),
    ("office:recheck_list", _("Re-checks"), Permission.VIEW_SHOP),
    ("office:policy", _("Shop policy"), Permission.EDIT_POLICY),
    ("office:people", _("People"), Permission.MANAGE_PEOPLE),
    ("office:devices", _("Tablets"), Permission.UNLOCK_PINS),
    ("office:backups", _("Backups"), Permission.MANAGE_BACKUPS),
)


# Every page names these addresses, and they are the same for as long as the process runs.
_address = cache(reverse)


def shell(request: HttpRequest) -> dict[str, object]:
    """Navigation for the reader's role, where the search box asks, a disk nearly full. Makes no query."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"navigation": []}
    navigation = [
        {"href": (href := _address(name)), "label": label, "current": request.path == href}
        for name, label, permission in ENTRIES
        if role_may(user.role, permission)
    ]
    shown: dict[str, object] = {
        "navigation": navigation,
        "search_url": _address("office:search"),
        "search_target": "main",
    }
    if (
        role_may(user.role, Permission.MANAGE_PEOPLE)
        and (room := room_of(settings.SHOP_FOLDER))
        and room.is_low
    ):
        shown["low_room"] = room
    return shown
