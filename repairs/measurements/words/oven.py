"""Oven chart in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _row_incomplete(note: Note, write: Written) -> str:
    words = _("Row {place} has no time or no temperature. Complete it or remove it.")
    return words.format(place=write.number(float(note.params["place"] or 0), "plain"))


def _time_goes_back(note: Note, write: Written) -> str:
    words = _("Time goes from {before} to {after}. Enter the readings in their order.")
    return words.format(
        before=write.of(note.params["before"], "minutes"), after=write.of(note.params["after"], "minutes")
    )


def _gap(note: Note, write: Written) -> str:
    words = _(
        "No reading from {start} to {end}; the others are about {usual} apart. Nobody can say how hot the part was."
    )
    return words.format(
        start=write.of(note.params["from"], "minutes"),
        end=write.of(note.params["to"], "minutes"),
        usual=write.of(note.params["usual"], "minutes"),
    )


WORDS: Final = SubjectWords(
    title=_L("Oven chart"),
    fields={
        "purpose": _L("Purpose"),
        "set_c": _L("Set temperature"),
        "hold_min": _L("Hold time"),
        "chart": _L("Chart"),
        "at_min": _L("Time"),
        "part_c": _L("Part temperature"),
    },
    choices={
        "burn_off_organic": _L("burn-off, organic or unknown core plate"),
        "burn_off_inorganic": _L("burn-off, inorganic core plate"),
        "drying": _L("drying"),
        "bake": _L("bake"),
    },
    results={
        "oven_peak": _L("Highest part temperature"),
        "oven_hold": _L("Time at or above the set temperature"),
    },
    notes={"row_incomplete": _row_incomplete, "time_goes_back": _time_goes_back, "chart_has_gap": _gap},
    cautions=(
        _L("WARNING Hot parts cause burns. Wear dry heat-resistant gloves."),
        _L(
            "Varnish and oil vapor can ignite. Ventilation and fire suppression on; never burn unknown materials."
        ),
        _L("The part's temperature counts, not the air's: sensor on or in the core."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
