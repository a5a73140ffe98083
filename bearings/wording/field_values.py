"""A value of a part's field as people read it: with its unit, its thousands apart, choices as words."""

from __future__ import annotations

from django.utils.translation import gettext as _

from bearings.stack_file.fields import ROOMS
from bearings.wording.figures import Figures
from bearings.wording.labels import choice_label


def field_value(name: str, text: str, figures: Figures) -> str:
    """Return one value of a bearing, part or guide; ``text`` is as Python writes it, None where nobody knows it."""
    if text == "None":
        return _("not known")
    spec = next((ROOMS[room][name] for room in ("bearing", "part", "guide") if name in ROOMS[room]), None)
    if spec is None or spec.kind not in {"number", "integer"}:
        return choice_label(text) if spec is not None and spec.kind == "choice" else text
    return figures.given(float(text), spec.unit)
