"""The working of an assessment: what went in, and every figure with its formula and source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from itertools import groupby
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import (
    Bearing,
    Figures,
    Stack,
    choice_label,
    field_label,
    field_spec,
    grouped,
    guide_refs,
    guide_values,
    item_refs,
    item_values,
    sources_in_words,
)
from repairs.motors.spec_figures import SHARES, WEIGHTS, figure_of
from repairs.office.assessment_tables import figure_text
from repairs.office.policy_forms import LIMITS, SET_FACTORS

TOPICS: Final[dict[str, str | Promise]] = {
    "sharing": gettext_lazy("Stiffness and preload"),
    "cases": gettext_lazy("Load cases and load sharing"),
    "rising": gettext_lazy("Load sharing, rising contact angle"),
    "play": gettext_lazy("End play and face offset"),
    "growth": gettext_lazy("Thermal growth and fit"),
    "springs": gettext_lazy("Springs and guide bearing"),
    "oil": gettext_lazy("Oil"),
    "life": gettext_lazy("Life"),
    "duty": gettext_lazy("Duty"),
    "static": gettext_lazy("Static safety"),
    "speed": gettext_lazy("Speed"),
    "heat": gettext_lazy("Heat"),
    "guides": gettext_lazy("Guide bearings"),
    "grease": gettext_lazy("Grease"),
    "passing": gettext_lazy("Bearing defect frequencies (× shaft speed)"),
}
# Where a reader finds the figures behind a finding.
TOPIC_OF: Final = {
    "down-thrust-not-carried": "cases",
    "up-thrust-not-carried": "cases",
    "washers-part": "cases",
    "speed-margin": "speed",
    "reference-speed": "heat",
    "speed-not-rated": "speed",
    "life": "life",
    "static-safety": "static",
    "unloaded-in-running": "cases",
    "minimum-load": "cases",
    "stand-out-mismatch": "sharing",
    "preload-not-proven": "sharing",
    "radial-load-on-thrust-roller": "cases",
    "viscosity": "oil",
    "heat-balance": "heat",
    "reference-speed-differs": "heat",
    "rating-geometry": "life",
    "rating-estimated": "life",
    "sharing-models-differ": "rising",
    "mismatch-sensitive": "play",
    "thermal-preload": "growth",
    "duty-life": "duty",
    "duty-not-carried": "duty",
    "duty-speed": "speed",
    "groove-thrust-limit": "cases",
    "spring-solid": "springs",
    "spring-too-weak": "springs",
    "guide-life": "guides",
    "guide-float": "guides",
    "grease-life": "grease",
}
# Signs as people write them, for what the engine writes in plain letters.
_SIGNS: Final = (
    ("kappa", "κ"),
    ("alpha", "α"),
    ("<=", "≤"),
    ("up_thrust", "upthrust"),
    ("down thrust", "downthrust"),
    ("up thrust", "upthrust"),
    ("stand-out", "face offset"),
    ("permissible", "allowable"),
    (" x ", " × "),
    ("^3", "³"),
    ("^2", "²"),
    ("10^6", "10⁶"),
)
# Constants of a rule that are bound to its units.
_CONSTANTS_IN_US: Final = (
    ("28.6 W/(l/min K)", "0.0807 hp/(gpm °F)"),
    ("((temperature - 70) / 15)", "((temperature - 158) / 27)"),
    ("11.5e-6 / K", "6.39e-6 / °F"),
)
_WITH_UNIT: Final = re.compile(
    r"(?<![\w.])(?:(?P<first>\d+(?:\.\d+)?) to )?(?P<last>\d+(?:\.\d+)?(?:e-?\d+)?) (?P<unit>mm|W|K|N)(?![\w/^(])"
)
Rows = list[dict[str, object]]


def working_topics(lines: Iterable[Mapping[str, Any]], figures: Figures) -> Rows:
    """Return the working topic by topic: for each line the bearing, symbol, formula, result and source."""
    by_topic = sorted(lines, key=lambda line: list(TOPICS).index(line["topic"]))
    return [
        {"topic": topic, "title": TOPICS[topic], "lines": [_line(line, figures) for line in rows]}
        for topic, rows in groupby(by_topic, key=lambda line: line["topic"])
    ]


def _line(line: Mapping[str, Any], figures: Figures) -> dict[str, str]:
    return {
        "ref": line["ref"] or _("stack"),
        "symbol": written(line["symbol"]),
        "formula": formula_text(line["formula"], figures),
        "result": figure_text(figures, line["value"], line["unit"]),
        "source": _in_reader_units(sources_in_words(line["source"]), figures),
    }


def formula_text(formula: str, figures: Figures) -> str:
    """Return a formula with its signs, and with the figures in it that carry a unit in the reader's."""
    return written(_in_reader_units(formula, figures))


def _in_reader_units(text: str, figures: Figures) -> str:
    if figures.units != "us":
        return text
    for si, us in _CONSTANTS_IN_US:
        text = text.replace(si, us)

    def told(match: re.Match[str]) -> str:
        unit = match["unit"]
        last = float(match["last"])
        if unit == "K":
            return figures.difference(last)
        if match["first"] is None:
            return figures.of(last, unit)
        first = figures.of(float(match["first"]), unit).partition("\u00a0")[0]
        return _("{low} to {high}").format(low=first, high=figures.of(last, unit))

    return _WITH_UNIT.sub(told, text)


def written(text: str) -> str:
    """Return a symbol or formula with the signs that people write."""
    for letters, sign in _SIGNS:
        text = text.replace(letters, sign)
    return text


def duty_inputs(stack: Stack, figures: Figures) -> list[tuple[str, Rows]]:
    """Return what was known of motor, oil and policy, and what was not."""
    rooms: tuple[tuple[str, Any, Any], ...] = (
        (_("Motor"), "motor", stack.motor),
        (_("Oil"), "lubrication", stack.lubrication),
    )
    groups = [(title, _room_rows(room, asdict(values), figures)) for title, room, values in rooms]
    return [*groups, (_("Policy"), _policy_rows(stack, figures))]


def _room_rows(room: Any, values: dict[str, object], figures: Figures) -> Rows:
    return [
        {"label": capfirst(field_label(name)), "text": input_text(room, name, value, figures)}
        for name, value in values.items()
    ]


def input_text(room: Any, name: str, value: Any, figures: Figures) -> str:
    """Return what went in under a field's name, as people read it."""
    spec = field_spec(room, name)
    if value is None:
        return _("not entered")
    if name == "fixed_speed":
        return _("across the line") if value else _("on a drive (VFD)")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if spec.kind == "list":
        return _("%(count)d parts, see Duty") % {"count": len(value)}
    if spec.kind == "choice":
        return choice_label(str(value))
    if spec.kind == "text":
        return str(value)
    if name in WEIGHTS and figures.units == "us":
        return figure_of(spec, "us").words(value)
    return figures.given(value, spec.unit)


def _policy_rows(stack: Stack, figures: Figures) -> Rows:
    values = asdict(stack.policy)
    factors = values.pop("set_factors")
    rows = [
        (LIMITS[name].label, _limit(name, value, figures))
        for name, value in values.items()
        if value is not None
    ]
    rows += [
        (_("Speed factor: {set}").format(set=SET_FACTORS[name].label), grouped(value, 2))
        for name, value in factors.items()
    ]
    return [{"label": label, "text": text} for label, text in rows]


def _limit(name: str, value: float, figures: Figures) -> str:
    return figures.percent(value) if name in SHARES else figures.given(value, field_spec("policy", name).unit)


def bearing_inputs(stack: Stack, figures: Figures) -> dict[str, object]:
    """Return what was known of every bearing, a column for each; a field that none has is left out."""
    bearings: dict[str, tuple[Any, dict[str, object]]] = {
        ref: ("bearing", item_values(item))
        for ref, item in zip(item_refs(stack.items), stack.items, strict=True)
        if isinstance(item, Bearing)
    }
    for ref, guide in zip(guide_refs(stack.guides), stack.guides, strict=True):
        bearings[ref] = ("guide", guide_values(guide))
    names = dict.fromkeys(name for _room, values in bearings.values() for name in values if name != "kind")
    rows = [
        {
            "label": capfirst(field_label(name).partition(",")[0]),
            "cells": [
                input_text(room, name, values[name], figures) if name in values else _("not entered")
                for room, values in bearings.values()
            ],
        }
        for name in names
    ]
    return {"refs": list(bearings), "rows": rows}


def finding_figures(row: Mapping[str, Any], figures: Figures) -> str:
    """Return value, limit and source of a finding in one line."""
    margin = row["code"] == "speed-margin"
    words = []
    for value, text in ((row["value"], _("found {figure}")), (row["limit"], _("limit {figure}"))):
        if value is not None:
            shown = figures.percent(value) if margin else figure_text(figures, value, row["unit"])
            words.append(text.format(figure=shown))
    return " · ".join([*words, sources_in_words(row["source"])])
