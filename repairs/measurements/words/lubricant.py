"""Oil and grease in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy
SUMPS: Final = {"top": _L("Top sump"), "bottom": _L("Bottom sump")}


def _oil_differs(note: Note, write: Written) -> str:
    words = _(
        "{sump}: {value} of oil added, the plate says {capacity}. Check the level and what was left inside."
    )
    return words.format(
        sump=SUMPS[str(note.params["sump"])],
        value=write.of(note.params["value"], "volume"),
        capacity=write.of(note.params["capacity"], "volume"),
    )


def _above_mark(note: Note, write: Written) -> str:
    words = _(
        "{sump}: oil is above the mark at standstill. Drain it to the mark: too much oil foams and leaks."
    )
    return words.format(sump=SUMPS[str(note.params["sump"])])


def _below_mark(note: Note, write: Written) -> str:
    words = _("{sump}: oil is below the mark at standstill. Fill it to the mark before the motor runs.")
    return words.format(sump=SUMPS[str(note.params["sump"])])


def _level_unknown(note: Note, write: Written) -> str:
    words = _("{sump}: enter the oil level at standstill.")
    return words.format(sump=SUMPS[str(note.params["sump"])])


def _grade_differs(note: Note, write: Written) -> str:
    words = _(
        "Oil is VG {filled}, the plate says VG {plate}. The plate wins: change the oil or ask the customer."
    )
    return words.format(
        filled=write.of(note.params["filled"], "plain"), plate=write.of(note.params["plate"], "plain")
    )


def _by_rule(note: Note, write: Written) -> str:
    words = _(
        "Rule of thumb for relubrication: {value} (from memory, unverified). The manufacturer's figure governs."
    )
    return words.format(value=write.of(note.params["value"], "small_mass"))


def _cavity_usual(note: Note, write: Written) -> str:
    words = _("Usual fill is about {value} of the cavity.")
    return words.format(value=write.of(note.params["value"], "percent"))


def _over_full(note: Note, write: Written) -> str:
    words = _("The grease fills {value} of the cavity: more than fits. Check both figures and their units.")
    return words.format(value=write.of(note.params["value"], "percent"))


def _too_full(note: Note, write: Written) -> str:
    words = _("The grease fills {value} of the cavity. Too much grease runs hot: take some out.")
    return words.format(value=write.of(note.params["value"], "percent"))


WORDS: Final = SubjectWords(
    title=_L("Oil and grease"),
    fields={
        "top_capacity_l": _L("Top sump, plate capacity"),
        "top_oil_l": _L("Top sump, oil added"),
        "top_level": _L("Top sump, level standing"),
        "bottom_capacity_l": _L("Bottom sump, plate capacity"),
        "bottom_oil_l": _L("Bottom sump, oil added"),
        "bottom_level": _L("Bottom sump, level standing"),
        "plate_vg": _L("Oil grade on plate (VG)"),
        "filled_vg": _L("Oil grade filled (VG)"),
        "guide_outside_mm": _L("Guide bearing, outside diameter"),
        "guide_width_mm": _L("Guide bearing, width"),
        "guide_grease_g": _L("Guide bearing, grease"),
        "guide_cavity_l": _L("Guide bearing, cavity volume"),
    },
    choices={
        "at_mark": _L("at the mark"),
        "above_mark": _L("above the mark"),
        "below_mark": _L("below the mark"),
    },
    results={
        "oil_top": _L("Oil in top sump"),
        "oil_bottom": _L("Oil in bottom sump"),
        "guide_grease": _L("Grease in guide bearing"),
        "guide_cavity": _L("Grease, share of cavity"),
    },
    notes={
        "oil_differs": _oil_differs,
        "above_mark": _above_mark,
        "below_mark": _below_mark,
        "level_unknown": _level_unknown,
        "grade_differs": _grade_differs,
        "by_rule": _by_rule,
        "cavity_usual": _cavity_usual,
        "over_full": _over_full,
        "too_full": _too_full,
    },
    cautions=(
        _L("Lock out before you open a drain or fill plug. Hot oil burns; wipe up spills at once."),
        _L("Tag a motor that is shipped without oil: fill before it runs."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
