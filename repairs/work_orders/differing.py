"""Differences of two stages of one job, in codes and figures; ``warning_words`` says them."""

from __future__ import annotations

from typing import Final

from bearings.public import Assembly, Comparison, Difference, compare, parse_assembly
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.warning_words import DifferenceRow

Faces = dict[str, str]

SEEN_AT_THE_MOUNT: Final = frozenset({"type", "designation", "maker", "variant", "serial", "ring"})
# A spacer or a shim is its height: one that was not measured is not the one specified.
HEIGHTS: Final = frozenset({"height_mm", "inner_height_mm", "outer_height_mm"})
MEASURED_PARTS: Final = frozenset({"spacer", "shim"})


def differences(before: StackRecord, after: StackRecord, *, seen_only: bool = False) -> list[DifferenceRow]:
    """Return every difference of two records.

    A stack as built is written down from what can be seen. Ratings, preload and sizes that it leaves open are no
    difference to the specified ones; those that it states are. ``seen_only`` holds any other later record to the same.
    """
    found = compare(_standing(before), _standing(after))
    stages, faces = [str(before.stage), str(after.stage)], (_faces(before), _faces(after))
    rows: list[DifferenceRow] = []
    if found.upside_down in ("yes", "in_place"):
        whole: DifferenceRow = {"code": "turned-over", "ref_before": "", "ref_after": "", "stages": stages}
        if found.upside_down == "in_place":
            whole["in_place"] = True
        rows.append(whole)
    return rows + [
        _row(one, found, stages, faces)
        for one in found.differences
        if not ((after.stage == Stage.AS_BUILT or seen_only) and _only_left_open(one, after))
    ]


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


def _standing(record: StackRecord) -> Assembly:
    return parse_assembly(
        [entry["data"] for entry in record.items], [entry["data"] for entry in record.guides]
    )


def _row(one: Difference, found: Comparison, stages: list[str], faces: tuple[Faces, Faces]) -> DifferenceRow:
    row: DifferenceRow = {
        "code": one.code, "ref_before": one.ref_found or "", "ref_after": one.ref_built or "", "stages": stages
    }  # fmt: skip
    if one.code == "turned-over":
        refs = (row["ref_before"], row["ref_after"])
        row["faces"] = [seen.get(ref, "") for seen, ref in zip(faces, refs, strict=True)]
        row["doubt"] = found.upside_down == "possible"
    if found.upside_down == "possible_in_place" and one.code in ("turned-over", "moved"):
        row["doubt"] = row["in_place"] = True
    fields, values = one.params.get("fields"), one.params.get("values")
    if isinstance(fields, tuple) and isinstance(values, tuple):
        row["fields"], row["values"] = [str(name) for name in fields], [str(value) for value in values]
    return row


def _faces(record: StackRecord) -> Faces:
    return {ref: str(entry["data"].get("wide_face", "")) for ref, entry in refs_of(record.items)}
