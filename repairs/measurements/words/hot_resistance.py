"""Temperature by resistance in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _hot_below_cold(note: Note, write: Written) -> str:
    words = _("Hot {hot} is below cold {cold}. Check that the two readings are not swapped.")
    return words.format(
        hot=write.of(note.params["hot_ohm"], "resistance"),
        cold=write.of(note.params["cold_ohm"], "resistance"),
    )


def _not_full_load(note: Note, write: Written) -> str:
    return _("Rise limits are for rated load. A rise within the limit at less load is not a pass.")


def _factor_decides(note: Note, write: Written) -> str:
    return _("Limit depends on the service factor. Enter SF from the plate.")


def _reading_late(note: Note, write: Written) -> str:
    words = _(
        "First hot reading {value} after switching off; for this size take it within {most}, or take more readings "
        "and draw the cooling curve back to zero."
    )
    return words.format(
        value=write.of(note.params["value"], "seconds"), most=write.of(note.params["most"], "seconds")
    )


WORDS: Final = SubjectWords(
    title=_L("Winding temperature by resistance"),
    fields={
        "cold_ohm": _L("Cold resistance"),
        "cold_c": _L("Winding temperature, cold"),
        "hot_ohm": _L("Hot resistance"),
        "ambient_c": _L("Ambient at hot reading"),
        "conductor": _L("Conductor"),
        "full_load": _L("Rated load until stable"),
        "rise_class": _L("Rise class, if lower"),
        "seconds_after_off": _L("Time after switching off"),
    },
    choices={
        "copper": _L("copper"),
        "aluminum": _L("aluminum"),
        "A": _L("class A"),
        "B": _L("class B"),
        "F": _L("class F"),
        "H": _L("class H"),
    },
    results={
        "temperature_rise": _L("Temperature rise of the winding"),
        "hot_temperature": _L("Winding temperature by resistance"),
    },
    notes={
        "hot_below_cold": _hot_below_cold,
        "not_full_load": _not_full_load,
        "factor_decides": _factor_decides,
        "reading_late": _reading_late,
    },
    cautions=(
        _L("Lock out, try out, and wait until the shaft stops before you connect the ohmmeter."),
        _L("The winding and the frame are hot."),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
