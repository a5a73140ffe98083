"""Air gap in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy
FIELDS: Final = {
    "gap_top_0": _L("Air gap, top, 0°"),
    "gap_top_90": _L("Air gap, top, 90°"),
    "gap_top_180": _L("Air gap, top, 180°"),
    "gap_top_270": _L("Air gap, top, 270°"),
    "gap_low_0": _L("Air gap, bottom, 0°"),
    "gap_low_90": _L("Air gap, bottom, 90°"),
    "gap_low_180": _L("Air gap, bottom, 180°"),
    "gap_low_270": _L("Air gap, bottom, 270°"),
}


def _mils_typed(note: Note, write: Written) -> str:
    words = _("{field}: {value} is a very wide gap. Thousandths typed? That would be {meant}.")
    return words.format(
        field=FIELDS[str(note.params["field"])],
        value=write.of(note.params["value"], "small_length"),
        meant=write.of(note.params["as_mm"], "small_length"),
    )


def _no_gap(note: Note, write: Written) -> str:
    words = _("{field}: no gap. The rotor touches the stator: do not turn or run it.")
    return words.format(field=FIELDS[str(note.params["field"])])


WORDS: Final = SubjectWords(
    title=_L("Air gap"),
    fields=FIELDS,
    results={
        "air_gap_top": _L("Air gap, top: deviation from mean"),
        "air_gap_low": _L("Air gap, bottom: deviation from mean"),
    },
    notes={"mils_typed": _mils_typed, "no_gap": _no_gap},
    cautions=(
        _L("Lock out before you reach into the motor. Turn the rotor by hand only."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
