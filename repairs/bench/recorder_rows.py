"""The rows that the recorder shows: the list from the top of the mount, and the tabs of the three stages."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NotRequired, TypedDict

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Figures, Units, plain, type_name
from repairs.people.permissions import Permission
from repairs.work_orders.judging import ONE_WAY_TYPES, refs_of
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.part_names import PART_NAMES
from repairs.work_orders.warning_words import called

RINGS: Final[dict[str, str | Promise]] = {
    "inner": gettext_lazy("inner ring"),
    "outer": gettext_lazy("outer ring"),
    "both": gettext_lazy("both rings"),
}
CARRIES: Final[dict[str, str | Promise]] = {
    "up": gettext_lazy("carries up"),
    "down": gettext_lazy("carries down"),
    "both": gettext_lazy("carries both ways"),
}


class Refusal(TypedDict):
    """What was not done: what the others did meanwhile, and one's own act to be sent again."""

    text: str
    events: NotRequired[list[dict[str, str]]]
    own: NotRequired[str]
    again: NotRequired[str]


def part_name(data: Mapping[str, Any]) -> str:
    """Name an item as a person would."""
    if data.get("kind") == "bearing" or "type" in data:
        angle = f" · {plain(data['contact_angle_deg'])}°" if data.get("contact_angle_deg") else ""
        unread = capfirst(type_name(data["type"]) if "type" in data else _("bearing"))
        return f"{data.get('designation') or unread}{angle}"
    kind = str(data.get("kind", ""))
    return str(PART_NAMES.get(kind, kind))


def part_details(data: Mapping[str, Any], units: Units) -> str:
    """Say in one line what else is known of an item."""
    words = [str(data[key]) for key in ("maker", "variant", "cage", "note") if data.get(key)]
    if data.get("ring"):
        words.append(str(RINGS[data["ring"]]))
    if data.get("height_mm") and "type" not in data:
        words.append(Figures(units).length(data["height_mm"]))
    if data.get("mark"):
        words.append(_("mark {mark}").format(mark=data["mark"]))
    if data.get("serial"):
        words.append(_("serial {serial}").format(serial=data["serial"]))
    return " · ".join(words)


def list_rows(
    record: StackRecord, chosen: str, differing: dict[str, str], units: Units
) -> list[dict[str, object]]:
    """Return the list from the top of the mount, with guides after it."""
    last = len(record.items) - 1
    rows = []
    for index, (ref, entry) in enumerate(refs_of(record.items)):
        data = entry["data"]
        bearing, turns = data.get("kind") == "bearing", data.get("type") in ONE_WAY_TYPES
        rows.append(
            {
                **_row(ref, entry, chosen, units),
                "bearing": bearing,
                "face": (data.get("wide_face", "unknown") if turns else "symmetric") if bearing else "",
                "turns": turns,
                "differs": differing.get(ref, ""),
                "first": index == 0,
                "last": index == last,
            }
        )
    for number, entry in enumerate(record.guides, 1):
        carries = CARRIES.get(entry["data"].get("carries", ""), "")
        row = _row(f"g{number}", entry, chosen, units)
        row["more"] = " · ".join(str(word) for word in (_("guide"), carries, row["more"]) if word)
        rows.append({**row, "guide": True})
    return rows


def _row(ref: str, entry: Mapping[str, Any], chosen: str, units: Units) -> dict[str, object]:
    return {
        "ref": ref,
        "uid": entry["uid"],
        "name": part_name(entry["data"]),
        "more": part_details(entry["data"], units),
        "chosen": entry["uid"] == chosen,
        "label": called(ref),
    }


def stage_tabs(job: Job, current: str) -> list[dict[str, object]]:
    """Return the three stages with revision and state, in one query."""
    newest: dict[str, tuple[int, str]] = {}
    records = job.stack_records.order_by("revision").values_list("stage", "revision", "state")
    for stage, revision, state in records:
        newest[stage] = (revision, state)
    words = dict(StackRecord.State.choices)
    approved = _("approved")
    tabs = []
    for stage in Stage:
        revision, state = newest.get(stage, (0, ""))
        said = approved if (stage, state) == (Stage.SPECIFIED, StackRecord.State.SIGNED) else words.get(state)
        note = _("rev. {number} · {state}").format(number=revision, state=said)
        tabs.append(
            {
                "url": reverse("bench:stack", args=[job.number, stage]),
                "name": stage.label,
                "note": note if revision else _("not recorded"),
                "current": stage == current,
            }
        )
    return tabs


def needed_permission(stage: str) -> Permission:
    """Return what a person must be allowed to record a stage."""
    return Permission.SPECIFY_STACKS if stage == Stage.SPECIFIED else Permission.RECORD_STACKS
