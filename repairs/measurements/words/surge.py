"""Surge test in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _below(note: Note, write: Written) -> str:
    words = _("Peak {value} is below the test level {low}. Not checked at the level.")
    return words.format(
        value=write.of(note.params["value"], "voltage"), low=write.of(note.params["low"], "voltage")
    )


def _above(note: Note, write: Written) -> str:
    words = _("Peak {value} is above the test level {low}. Do not raise it further.")
    return words.format(
        value=write.of(note.params["value"], "voltage"), low=write.of(note.params["low"], "voltage")
    )


def _rotor(note: Note, write: Written) -> str:
    return _(
        "A rotor in place shifts waves. Turn the rotor to match them or test without it, then enter again."
    )


def _differ(note: Note, write: Written) -> str:
    return _("Waves differ without the rotor: look for shorted turns, reversed coils or a wrong connection.")


WORDS: Final = SubjectWords(
    title=_L("Surge test"),
    fields={
        "state": _L("Winding"),
        "wave": _L("Wave front and rule"),
        "peak_v": _L("Peak voltage"),
        "rotor_in": _L("Rotor in place"),
        "waves_match": _L("Waves match"),
        "ear_ab": _L("EAR, phases 1 and 2"),
        "ear_bc": _L("EAR, phases 2 and 3"),
        "ear_ca": _L("EAR, phases 3 and 1"),
    },
    choices={
        "new": _L("new winding"),
        "in_service": _L("in service"),
        "ieee_steep": _L("0.1 to 0.2 µs front, IEEE 522"),
        "ieee_slow": _L("1.2 µs front or longer, IEEE 522"),
        "iec_steep": _L("0.2 µs front, IEC 60034-15"),
    },
    results={
        "surge_voltage": _L("Surge peak voltage"),
        "surge_unlike": _L("Waves that do not match"),
        "surge_ear": _L("Largest error area ratio (EAR)"),
    },
    notes={
        "surge_below": _below,
        "surge_above": _above,
        "rotor_shifts": _rotor,
        "waves_differ": _differ,
    },
    cautions=(
        _L("WARNING High voltage kills. Barrier and sign up, second person present, nobody inside."),
        _L("Lock out, try out, and disconnect cables and surge capacitors before the test."),
        _L("First insulation resistance, and only above its minimum."),
        _L("Ground the winding after the test and check that it is discharged before you touch it."),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
