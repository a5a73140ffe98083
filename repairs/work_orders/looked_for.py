"""What anyone will miss later: a stack as found says of each usual part that it is there or that it is not."""

from __future__ import annotations

from typing import Final

from django.db.models import F
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import StackRecord, Stage

# What is asked for, and the kinds of parts that answer it.
ASKED: Final[dict[str, tuple[str, ...]]] = {
    "snap_ring": ("snap_ring",),
    "lock_nut": ("lock_nut", "lock_washer"),
    "spacer": ("spacer", "shim"),
    "spring_pack": ("spring_pack",),
    "marks": (),
}
QUESTIONS: Final[dict[str, str | Promise]] = {
    "snap_ring": gettext_lazy("Snap ring: add it to the list, or mark “No snap ring”."),
    "lock_nut": gettext_lazy("Lock nut: add it to the list, or mark “No lock nut”."),
    "spacer": gettext_lazy("Spacers and shims: add them to the list, or mark “No spacer, no shim”."),
    "spring_pack": gettext_lazy("Springs: add them to the list, or mark “No springs”."),
}
ANSWERS: Final[dict[str, str | Promise]] = {
    "snap_ring": gettext_lazy("No snap ring"),
    "lock_nut": gettext_lazy("No lock nut"),
    "spacer": gettext_lazy("No spacer, no shim"),
    "spring_pack": gettext_lazy("No springs"),
    "marks": gettext_lazy("No readable mark or serial"),
}
_SPRING_FIELDS: Final = ("spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm")
_MARK_FIELDS: Final = ("serial", "mark", "set_id")


def there(record: StackRecord, asked: str) -> bool:
    """Whether the list itself answers a question."""
    if asked == "marks":
        return not _unmarked(record)
    kinds = ASKED[asked]
    for entry in record.items:
        data = entry["data"]
        if data.get("kind") in kinds or (
            asked == "spring_pack" and any(data.get(name) for name in _SPRING_FIELDS)
        ):
            return True
    return False


def _unmarked(record: StackRecord) -> list[str]:
    return [
        ref
        for ref, entry in refs_of(record.items)
        if ref.isdigit() and not any(entry["data"].get(name) for name in _MARK_FIELDS)
    ]


def open_questions(record: StackRecord) -> list[str]:
    """Return what was neither found nor said to be absent, in the order in which it is asked."""
    if record.stage != Stage.AS_FOUND:
        return []
    return [asked for asked in ASKED if asked not in record.absent and not there(record, asked)]


def lacking_answers(record: StackRecord) -> list[str]:
    """Return the open questions in words."""
    lacking = []
    for asked in open_questions(record):
        if asked == "marks":
            refs = ", ".join(_unmarked(record))
            words = _("Bearing {refs}: enter the serial or mark, or mark “No readable mark or serial”.")
            lacking.append(words.format(refs=refs))
        else:
            lacking.append(str(QUESTIONS[asked]))
    return lacking


def unkeyed_bearings(record: StackRecord) -> list[str]:
    """Return the bearings that no mark on a photo of the record shows."""
    shown = set(
        record.photos.filter(withdrawn_at__isnull=True)
        .values_list(F("photo__marks__item_uid"), flat=True)
        .distinct()
    )
    return [ref for ref, entry in refs_of(record.items) if ref.isdigit() and entry["uid"] not in shown]
