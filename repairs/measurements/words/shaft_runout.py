"""Runout in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy
FIELDS: Final = {
    "rule": _L("Limit by"),
    "shaft_diameter_mm": _L("Shaft extension diameter"),
    "shaft_tir": _L("Shaft extension runout (TIR)"),
    "rabbet_nominal_mm": _L("Rabbet AK, nominal"),
    "rabbet_read_mm": _L("Rabbet AK, measured"),
    "rabbet_tir": _L("Rabbet runout (TIR)"),
    "face_tir": _L("Mounting face runout (TIR)"),
    "register_tir": _L("Coupling register runout (TIR)"),
}


def _shaft_outside(note: Note, write: Written) -> str:
    words = _("The table has no limit for a {value} shaft. Use the drawing's.")
    return words.format(value=write.of(note.params["value"], "length"))


def _rabbet_outside(note: Note, write: Written) -> str:
    words = _("The P-base table has no row for a {value} rabbet. Use the drawing's limits.")
    return words.format(value=write.of(note.params["value"], "length"))


def _other_rabbet(note: Note, write: Written) -> str:
    words = _("Rabbet measures {value}, nominal is {nominal}. Check both sizes and their units.")
    return words.format(
        value=write.of(note.params["value"], "length"), nominal=write.of(note.params["nominal"], "length")
    )


def _mils_typed(note: Note, write: Written) -> str:
    words = _("{field}: {value} is more than an indicator reads. Thousandths typed? That would be {meant}.")
    return words.format(
        field=FIELDS[str(note.params["field"])],
        value=write.of(note.params["value"], "small_length"),
        meant=write.of(note.params["as_mm"], "small_length"),
    )


WORDS: Final = SubjectWords(
    title=_L("Runout"),
    fields=FIELDS,
    choices={"nema": _L("NEMA, at shaft end"), "iec": _L("IEC, at mid length")},
    results={
        "runout": _L("Shaft runout (TIR)"),
        "rabbet_size": _L("Rabbet AK diameter"),
        "rabbet_runout": _L("Rabbet runout (TIR)"),
        "face_runout": _L("Mounting face runout (TIR)"),
        "register_runout": _L("Coupling register runout (TIR)"),
    },
    notes={
        "shaft_outside": _shaft_outside,
        "rabbet_outside": _rabbet_outside,
        "other_rabbet": _other_rabbet,
        "mils_typed": _mils_typed,
    },
    cautions=(
        _L("Lock out. Turn the shaft by hand only; keep fingers out of keyways and pinch points."),
        _L("Block the rotor and the motor before you work below it."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
