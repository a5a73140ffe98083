"""A thrust sheet in words and the reader's units: for the office, the job's page and the traveler."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import (
    THRUST_FIGURES,
    THRUST_INPUTS,
    THRUST_VERDICTS,
    Figures,
    ThrustFigure,
    ThrustResult,
    ThrustVerdict,
    Units,
    sources_in_words,
    thrust_from_values,
    thrust_missing_words,
    thrust_value,
    thrust_verdict_sentence,
)

MEANINGS: Final = {
    "external": gettext_lazy("external (without rotor)"),
    "total": gettext_lazy("total (with rotor)"),
}
# What a paper has room for.
ON_PAPER: Final = (
    "down_duty", "down_shut_off", "down_worst", "total_worst", "up_thrust", "net_on_guide", "reverse_speed",
)  # fmt: skip
TOPICS: Final[tuple[tuple[Any, tuple[str, ...]], ...]] = (
    (gettext_lazy("Weights"), ("shaft_weight", "rotating_weight", "suction_lift")),
    (
        gettext_lazy("Downthrust"),
        ("hydraulic_duty", "hydraulic_shut_off", "down_duty", "down_shut_off", "down_worst"),
    ),
    (
        gettext_lazy("Total with rotor vs. plate"),
        ("total_duty", "total_shut_off", "total_worst", "plate_external"),
    ),
    (gettext_lazy("Upthrust"), ("up_thrust", "up_limit", "net_on_guide")),
    (gettext_lazy("Backspin (column drains back)"), ("runaway_speed", "reverse_speed", "reverse_thrust")),
    (gettext_lazy("Line shaft stretch (for lift setting)"), ("stretch_duty", "stretch_shut_off")),
)
CAUTIONS: Final = (
    (
        "warning",
        gettext_lazy(
            "When the pump stops and the column drains, it spins the motor backward. Never start the motor "
            "while it spins backward: shafts and non-reverse ratchets break. Wait until it stops; use a starter delay."
        ),
    ),
    (
        "caution",
        gettext_lazy(
            "A non-reverse ratchet protects only while it works. Inspect pins, plate and springs each time the "
            "stack is open. Try it by hand only when locked out."
        ),
    ),
    (
        "notice",
        gettext_lazy(
            "Follow local codes, your company's safety program, and the pump and motor manufacturers' data. "
            "These figures support licensed practice; they do not replace it."
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure with the way to it; ``missing`` says what it lacks when it is unknown."""

    label: str
    value: str
    formula: str
    inputs: str
    source: str
    missing: str
    fallback: bool


def figure_row(figure: ThrustFigure, figures: Figures) -> FigureRow:
    """Return a figure as a line of the working."""
    inputs = ", ".join(
        f"{THRUST_INPUTS.get(name) or THRUST_FIGURES[name]} {thrust_value(name, value, figures)}"
        for name, value in figure.inputs.items()
    )
    return FigureRow(
        label=str(THRUST_FIGURES[figure.name]),
        value=_value_words(figure, figures),
        formula=figure.formula,
        inputs=inputs,
        source=sources_in_words(figure.source),
        missing=thrust_missing_words(figure.missing),
        fallback=figure.fallback,
    )


def _value_words(figure: ThrustFigure, figures: Figures) -> str:
    if figure.value is None:
        return ""
    if figure.name == "net_on_guide" and figure.value <= 0:
        return _("none: rotor weight exceeds upthrust by {force}").format(force=figures.force(-figure.value))
    return thrust_value(figure.name, figure.value, figures)


def topics_of(result: ThrustResult, units: Units) -> list[dict[str, object]]:
    """Return the working, topic by topic."""
    figures = Figures(units, exact=True)
    return [
        {"title": str(title), "rows": [figure_row(result.figure(name), figures) for name in names]}
        for title, names in TOPICS
    ]


def verdict_rows(verdicts: Iterable[ThrustVerdict], units: Units) -> list[dict[str, object]]:
    """Return the comparisons with the plate."""
    figures = Figures(units, exact=True)
    return [
        {
            "label": str(THRUST_VERDICTS[one.name]),
            "verdict": one.verdict,
            "value": figures.force(one.value),
            "limit": figures.force(one.limit),
            "margin": figures.percent(one.margin) if one.margin is not None else "–",
            "words": thrust_verdict_sentence(one, figures),
            "fallback": one.fallback,
        }
        for one in verdicts
    ]


def meaning_words(summary: Mapping[str, Any]) -> str:
    """Return what a person said that the plate means by thrust."""
    return str(MEANINGS.get(summary.get("meaning", ""), _("unknown")))


def short_rows(summary: Mapping[str, Any], units: Units) -> list[list[str]]:
    """Return the sheet's main figures as label and value: unknown ones say what they lack, fallbacks are marked."""
    result, figures = thrust_from_values(summary), Figures(units, exact=True)
    rows = [[_("plate thrust"), meaning_words(summary)]]
    for name in ON_PAPER:
        row = figure_row(result.figure(name), figures)
        words = row.value or _("unknown: {names}").format(names=row.missing)
        if row.fallback:
            words = f"{words} ({_('rule of thumb, no source')})"
        if name == "reverse_speed" and summary.get("ratchet") == "yes":
            words = _("non-reverse ratchet prevents backspin; inspect it")
        elif name == "reverse_speed" and "specific_speed" in result.figure(name).inputs and row.value:
            words = _("{words} (estimate; ask the pump maker)").format(words=words)
        rows.append([row.label, words])
    return rows


def newest_rows(row: Any, units: str) -> list[list[str]]:
    """Return the main figures of the newest revision that a query brought along as ``thrust``; none without one."""
    summary = getattr(row, "thrust", None)
    return short_rows(summary, "us" if units == "us" else "si") if summary else []
