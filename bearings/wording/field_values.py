"""A value of a part's field as people read it: with its unit, its thousands apart, choices as words."""

from __future__ import annotations

from django.utils.translation import gettext as _

from bearings.stack_file.fields import ROOMS
from bearings.wording.figures import FIGURE_UNITS, NO_BREAK, Figures, plain, sign_of
from bearings.wording.labels import choice_label


def field_value(name: str, text: str, figures: Figures) -> str:
    """Return one value of a bearing, part or guide; ``text`` is as Python writes it, None where nobody knows it."""
    if text == "None":
        return _("not known")
    spec = next((ROOMS[room][name] for room in ("bearing", "part", "guide") if name in ROOMS[room]), None)
    if spec is None or spec.kind not in {"number", "integer"}:
        return choice_label(text) if spec is not None and spec.kind == "choice" else text
    if spec.unit in FIGURE_UNITS:
        return figures.of(float(text), spec.unit)
    space = "" if spec.unit == "deg" else NO_BREAK
    return f"{plain(float(text))}{space}{sign_of(spec.unit)}".strip()
