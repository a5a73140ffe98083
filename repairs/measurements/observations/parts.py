"""The parts that an observation can be keyed to: those of the stack as it was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from bearings.public import plain, type_name
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.part_names import PART_NAMES
from repairs.work_orders.warning_words import called

# What is kept of an item: enough to name it, however its record is revised afterwards.
KEPT: Final = (
    "kind",
    "type",
    "designation",
    "maker",
    "variant",
    "source",
    "contact_angle_deg",
    "mark",
    "serial",
)


@dataclass(frozen=True, slots=True)
class StackPart:
    """One item or guide of the stack as found."""

    record: StackRecord
    uid: str
    item: Mapping[str, Any]

    @property
    def name(self) -> str:
        return item_name(self.item)

    @property
    def is_bearing(self) -> bool:
        return is_bearing(self.item)


def is_bearing(item: Mapping[str, Any]) -> bool:
    """Whether an item is a bearing; a guide has a type and no kind."""
    return item.get("kind") == "bearing" or "type" in item


def stack_parts(job: Job) -> list[StackPart]:
    """Return what the newest record of the stack as found lists, from the top, guides last: one query."""
    record = job.stack_records.filter(stage=Stage.AS_FOUND).order_by("-revision").first()
    if record is None:
        return []
    rows = [(ref, entry) for ref, entry in refs_of(record.items)]
    rows += [(f"g{number}", entry) for number, entry in enumerate(record.guides, 1)]
    return [StackPart(record, entry["uid"], kept_item(ref, entry["data"])) for ref, entry in rows]


def kept_item(ref: str, data: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an observation keeps of an item."""
    return {"ref": ref, **{key: data[key] for key in KEPT if data.get(key)}}


def item_name(item: Mapping[str, Any]) -> str:
    """Name a kept item: bearing 1, 7320 · 40°, mark 41."""
    what = str(PART_NAMES.get(str(item.get("kind", "")), item.get("kind", "")))
    if is_bearing(item):
        angle = f" · {plain(item['contact_angle_deg'])}°" if item.get("contact_angle_deg") else ""
        what = f"{item.get('designation') or (type_name(item['type']) if 'type' in item else '')}{angle}"
    words = [called(str(item.get("ref", ""))), what]
    if item.get("mark"):
        words.append(_("mark {mark}").format(mark=item["mark"]))
    if item.get("serial"):
        words.append(_("serial {serial}").format(serial=item["serial"]))
    return capfirst(", ".join(word for word in words if word))
