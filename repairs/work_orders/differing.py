"""Differences of two stages of one job, in words that name the stages."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Final

from django.utils.translation import gettext as _

from bearings.public import Comparison, Difference, compare, field_label, parse_stack
from repairs.motors.duty import duty_of
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import StackRecord, Stage

SEEN_AT_THE_MOUNT: Final = frozenset({"type", "designation", "maker", "variant", "serial", "ring"})
# A spacer or a shim is its height: one that was not measured is not the one specified.
HEIGHTS: Final = frozenset({"height_mm", "inner_height_mm", "outer_height_mm"})
MEASURED_PARTS: Final = frozenset({"spacer", "shim"})


@dataclass(frozen=True, slots=True)
class DifferenceRow:
    """One difference in words, with the refs of both records."""

    code: str
    ref_before: str
    ref_after: str
    text: str

    def as_dict(self) -> dict[str, str]:
        """Return the row as a record keeps it."""
        return asdict(self)


def differences(before: StackRecord, after: StackRecord) -> list[DifferenceRow]:
    """Return every difference of two records in words.

    A stack as built is written down from what can be seen. Ratings, preload and sizes that it leaves open are no
    difference to the specified ones; those that it states are.
    """
    found = compare(_comparable(before), _comparable(after))
    rows = []
    if found.upside_down == "yes":
        text = _("The whole stack is upside down: it carries up what it carried down.")
        rows.append(DifferenceRow("turned-over", "", "", text))
    rows += [
        DifferenceRow(
            one.code, one.ref_found or "", one.ref_built or "", _sentence(one, found, before, after)
        )
        for one in found.differences
        if not (after.stage == Stage.AS_BUILT and _only_left_open(one, after))
    ]
    return rows


def _only_left_open(one: Difference, after: StackRecord) -> bool:
    """Whether two parts differ in nothing but what the later record leaves open and nobody sees at the mount."""
    fields, values = one.params.get("fields"), one.params.get("values")
    if one.code not in {"replaced", "rating-changed", "not-shown"} or not isinstance(fields, tuple):
        return False
    left_open = isinstance(values, tuple) and all(value == "None" for value in values[1::2])
    seen = SEEN_AT_THE_MOUNT | (HEIGHTS if _is_measured(one.ref_built, after) else frozenset())
    return left_open and seen.isdisjoint(fields)


def _is_measured(ref: str | None, record: StackRecord) -> bool:
    """Whether a part is one that its height tells from another."""
    return any(
        own == ref and entry["data"].get("kind") in MEASURED_PARTS for own, entry in refs_of(record.items)
    )


def _comparable(record: StackRecord) -> Any:
    """Return a record's stack with a duty that the comparison does not look at."""
    duty = duty_of(record.job.motor)
    duty.setdefault("rated_speed_rpm", 1.0)
    return parse_stack(
        {
            "stack_file": 2,
            "motor": duty,
            "items": [entry["data"] for entry in record.items],
            "guides": [entry["data"] for entry in record.guides],
        }
    )


def _faces(record: StackRecord) -> dict[str, str]:
    words = {"up": _("up"), "down": _("down")}
    return {ref: words.get(entry["data"].get("wide_face", ""), "?") for ref, entry in refs_of(record.items)}


def _sentence(one: Difference, found: Comparison, before: StackRecord, after: StackRecord) -> str:
    values = {
        "first": before.get_stage_display(),
        "second": after.get_stage_display(),
        "was": called(one.ref_found),
        "now": called(one.ref_built),
        "changes": _changes(one),
    }
    if one.code == "turned-over":
        return _turned_over(one, found, values, _faces(before), _faces(after))
    sentences = {
        "moved": _("{now} has changed places. {first}: it was {was}."),
        "replaced": _("{now} is not the same as {was} of “{first}”: {changes}."),
        "missing": _("{was} of “{first}” is missing."),
        "added": _("{now} is not on the list of “{first}”."),
        "rating-changed": _("{now} has other data than {was} of “{first}”: {changes}."),
        "not-shown": _("{now} does not show what {was} of “{first}” states: {changes}."),
    }
    text = sentences[one.code].format(**values)
    return text[:1].upper() + text[1:]


def _turned_over(
    one: Difference, found: Comparison, values: dict[str, str], faces: dict[str, str], now: dict[str, str]
) -> str:
    text = _("{now} is turned over. {first}: wide face {face_before}. {second}: wide face {face_after}.")
    text = text.format(
        **values,
        face_before=faces.get(one.ref_found or "", "?"),
        face_after=now.get(one.ref_built or "", "?"),
    )
    text = text[:1].upper() + text[1:]
    if found.upside_down == "possible":
        text += " " + _(
            "Or the whole stack is upside down: like bearings without serial number or mark read the same both "
            "ways. Look at the marks and the photos."
        )
    return text


def called(ref: str | None) -> str:
    """Name a part by its number or letter."""
    ref = ref or ""
    if ref.startswith("g") and ref[1:].isdigit():
        return _("guide {number}").format(number=ref[1:])
    return (_("bearing {ref}") if ref.isdigit() else _("part {ref}")).format(ref=ref)


def _changes(one: Difference) -> str:
    """Name each field that differs with both values."""
    fields, values = one.params.get("fields"), one.params.get("values")
    if not isinstance(fields, tuple) or not isinstance(values, tuple):
        return ""
    words = [_("not known") if value == "None" else str(value) for value in values]
    rows = zip(fields, words[::2], words[1::2], strict=True)
    return "; ".join(
        _("{field} was {before}, is {after}").format(
            field=field_label(str(name)), before=was or "–", after=is_now or "–"
        )
        for name, was, is_now in rows
    )
