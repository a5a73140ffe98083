"""High-potential test in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _level_exceeded(note: Note, write: Written) -> str:
    words = _(
        "{value} applied; the highest level is {high}. Do not repeat. Tell the lead, record it on the job."
    )
    return words.format(
        value=write.of(note.params["value"], "voltage"), high=write.of(note.params["high"], "voltage")
    )


def _level_not_reached(note: Note, write: Written) -> str:
    words = _("{value} applied, below the test level {low}. Not checked at the level.")
    return words.format(
        value=write.of(note.params["value"], "voltage"), low=write.of(note.params["low"], "voltage")
    )


def _too_short(note: Note, write: Written) -> str:
    words = _("Voltage was on for {value}; the test takes {least}. Not checked.")
    return words.format(
        value=write.of(note.params["value"], "seconds"), least=write.of(note.params["least"], "seconds")
    )


def _broke_down(note: Note, write: Written) -> str:
    words = _("Insulation broke down at {value}. Find the spot before any other high-voltage test.")
    return words.format(value=write.of(note.params["value"], "voltage"))


def _agreed_above(note: Note, write: Written) -> str:
    words = _("Agreed level {value} is above the published {high}. Check that the customer means it.")
    return words.format(
        value=write.of(note.params["value"], "voltage"), high=write.of(note.params["high"], "voltage")
    )


WORDS: Final = SubjectWords(
    title=_L("High-potential test"),
    fields={
        "category": _L("Winding"),
        "current": _L("Test current"),
        "agreed_v": _L("Level agreed with customer"),
        "applied_v": _L("Applied voltage"),
        "seconds": _L("Time at voltage"),
        "leakage_ua": _L("Leakage current"),
        "outcome": _L("Outcome"),
    },
    choices={
        "new": _L("new winding"),
        "rewound": _L("right after rewind"),
        "reconditioned": _L("reconditioned"),
        "in_service": _L("in service"),
        "accessory": _L("accessory circuit (new)"),
        "ac": _L("AC"),
        "dc": _L("DC"),
        "held": _L("held"),
        "broke_down": _L("broke down"),
    },
    results={
        "hipot_voltage": _L("High-potential voltage, held 1 min"),
        "hipot_breakdowns": _L("Breakdowns"),
        "hipot_leakage": _L("Leakage current"),
    },
    notes={
        "level_exceeded": _level_exceeded,
        "level_not_reached": _level_not_reached,
        "too_short": _too_short,
        "broke_down": _broke_down,
        "agreed_above": _agreed_above,
    },
    cautions=(
        _L("WARNING High voltage kills. Barrier and sign up, second person present, nobody inside."),
        _L(
            "Lock out, try out, disconnect cables, surge capacitors and accessories; ground what is not tested."
        ),
        _L(
            "First insulation resistance, and only above its minimum. Do not repeat at full level unless agreed."
        ),
        _L("With DC raise the voltage in steps. A failure can smoke or burn: have an extinguisher at hand."),
        _L(
            "Ground the winding after the test for at least 4 times the test time (from memory, unverified). Check "
            "that it is discharged before you touch it."
        ),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
