"""What was done to a stack record, in words, from the ledger's events."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils import timezone
from django.utils.formats import time_format
from django.utils.translation import gettext as _

from repairs.ledger.models import Event
from repairs.work_orders.warning_words import called


def event_rows(events: Iterable[Event]) -> list[dict[str, str]]:
    """Return who did what, and when, oldest first."""
    return [
        {
            "who": event.actor_name,
            "what": act_words(event.verb, _part(event), (event.after or {}).get("wide_face", "")),
            "at": time_format(timezone.localtime(event.made_at), "TIME_FORMAT"),
        }
        for event in events
    ]


def _part(event: Event) -> str:
    known: dict[str, object] = {**(event.before or {}), **(event.after or {})}
    return called(str(known["ref"])) if known.get("ref") else ""


def act_words(verb: str, part: str, face: str = "") -> str:
    """Say what an act does to a part: ``turned bearing 2 over (wide face up)``."""
    sides = {"up": _("wide face up"), "down": _("wide face down")}
    words = {
        "stack.turned": _("flipped {part}"),
        "stack.item_added": _("added {part}"),
        "stack.item_moved": _("moved {part}"),
        "stack.item_edited": _("edited {part}"),
        "stack.answered": _("answered a question about the bearings"),
        "stack.item_removed": _("removed {part}"),
        "stack.guide_saved": _("entered {part}"),
        "stack.described": _("changed the note or top mark"),
        "stack.undone": _("undid a change"),
        "stack.file_taken": _("loaded the list from a file"),
        "stack.submitted": _("sent the stack to the lead"),
        "stack.signed": _("signed the record"),
        "stack.approved": _("approved the stack"),
        "stack.built": _("submitted the record"),
    }
    text = words.get(verb, _("changed {part}")).format(part=part)
    return f"{text} ({sides[face]})" if face in sides else text
