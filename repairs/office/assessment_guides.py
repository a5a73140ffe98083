"""Guides and grease on the page of an assessment: which guide locates the shaft, its float, speed, life; regreasing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Figures, Stack
from repairs.office.assessment_charts import bearing_names
from repairs.office.assessment_tables import NOT_CHECKED, Rows, figure_text

ROLES: Final[dict[str, Promise]] = {
    "locating": gettext_lazy("locates the shaft"),
    "floating": gettext_lazy("floats"),
    "not_proven": gettext_lazy("not proven"),
}
TAKING: Final[dict[str, Promise]] = {
    "none": gettext_lazy("none"),
    "locates": gettext_lazy("all"),
    "after_play": gettext_lazy("nothing within end play"),
    "shares": gettext_lazy("not proven: shares with the stack, no end play"),
    "unknown": gettext_lazy("not proven: face or end play missing"),
}
GUIDE_COLUMNS: Final = (
    ("permissible_rpm", "rpm"), ("axial_n", "N"), ("radial_n", "N"), ("equivalent_load_n", "N"), ("l10h", "h"),
)  # fmt: skip
GREASE_COLUMNS: Final = (
    ("ndm", "mm/min"), ("hours_at_70c", "h"), ("temperature_c", "degC"), ("temperature_factor", "1"),
    ("shaft_factor", "1"), ("grease_life_h", "h"),
)  # fmt: skip


def guide_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> Rows:
    """Return each guide as a row; none for an answer that was kept before it told of them."""
    names = bearing_names(stack)
    return [
        {
            "ref": row["ref"],
            "name": names.get(row["ref"], ""),
            "role": ROLES[row["role"]],
            "down": TAKING[row["down"]],
            "up": TAKING[row["up"]],
            "float": _float(row, figures),
            "cells": [figure_text(figures, row[name], unit) for name, unit in GUIDE_COLUMNS],
        }
        for row in answer.get("guides", [])
    ]


def _float(row: Mapping[str, Any], figures: Figures) -> str:
    """Say how far warmth moves a guide, and whether its end play is enough for that."""
    if row["growth_um"] is None:
        return str(NOT_CHECKED)
    grown = figures.small_length(round(row["growth_um"], 1))
    words = {True: _("{growth}, within end play"), False: _("{growth}, more than end play")}
    return words.get(row["float_enough"], "{growth}").format(growth=grown)


def grease_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> Rows:
    """Return the grease life of each greased bearing; none where nothing is greased."""
    names = bearing_names(stack)
    return [
        {
            "ref": row["ref"],
            "name": names.get(row["ref"], ""),
            "cells": [figure_text(figures, row[name], unit) for name, unit in GREASE_COLUMNS],
        }
        for row in answer.get("grease", [])
    ]
