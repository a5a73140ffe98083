"""Which figure matters, in words: what would change a verdict when it is entered, and what would not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from django.utils.translation import gettext as _

from bearings.public import Figures, asks_sentence, choice_label, field_label, subject_label, verdict_label
from repairs.office.assessment_tables import figure_text

UNIT_OF_NAME = {
    "n": "N", "rpm": "rpm", "mm": "mm", "um": "um", "w": "W", "c": "degC",
}  # fmt: skip


class SettleLines(NamedTuple):
    """Two short lists: what can change the result, and what cannot."""

    matter: list[str]
    others: list[str]


def settle_lines(answer: Mapping[str, Any], figures: Figures) -> SettleLines | None:
    """Return both lists of an answer; None of an answer from before there were any. Like bearings are one line."""
    if "settles" not in answer:
        return None
    matter: dict[tuple[str, str], list[str]] = {}
    others: dict[str, None] = {}
    for row in answer["settles"]:
        if not row["matters"]:
            if row["missing"]:
                others[field_label(row["field"])] = None
            continue
        refs = matter.setdefault((row["field"], _change(row, figures)), [])
        if row["ref"] is not None:
            refs.append(row["ref"])
    lines = [
        f"{asks_sentence(field, sorted(refs))} {change}".strip() for (field, change), refs in matter.items()
    ]
    return SettleLines(lines, list(others))


def _change(row: Mapping[str, Any], figures: Figures) -> str:
    """Return what a field does to a verdict over its range; nothing of one that has no honest range."""
    if row["from"] is None:
        return ""
    if row["low"] is None or row["high"] is None:
        return _("{subject}: {before} or {after}, by its value.").format(
            subject=subject_label(row["subject"]),
            before=verdict_label(row["from"]),
            after=verdict_label(row["to"]),
        )
    return _("{subject}: {before} at {low}, {after} at {high}.").format(
        subject=subject_label(row["subject"]),
        before=verdict_label(row["from"]),
        low=_end(row["field"], row["low"], figures),
        after=verdict_label(row["to"]),
        high=_end(row["field"], row["high"], figures),
    )


def _end(field: str, value: float | str | bool | None, figures: Figures) -> str:
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, int | float):
        if field.endswith("_k"):
            return figures.difference(value)
        return figure_text(figures, round(value, 1), UNIT_OF_NAME.get(field.rsplit("_", 1)[-1], "1"))
    return choice_label(str(value))
