"""End play in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _turned_around(note: Note, write: Written) -> str:
    words = _("The dial moved {low} in one repeat and {high} in another. Up and down swapped?")
    return words.format(
        low=write.of(note.params["low"], "small_length"), high=write.of(note.params["high"], "small_length")
    )


def _repeats_differ(note: Note, write: Written) -> str:
    words = _(
        "Repeats differ by {spread} around {mean}. Check that the indicator and the load are steady, then repeat."
    )
    return words.format(
        spread=write.of(note.params["spread"], "small_length"),
        mean=write.of(note.params["mean"], "small_length"),
    )


def _few_repeats(note: Note, write: Written) -> str:
    words = _("Measured {count} of 3 times. Repeat it: the mean of three counts.")
    return words.format(count=write.of(note.params["count"], "plain"))


def _mils_typed(note: Note, write: Written) -> str:
    words = _("End play {value} is very large. Thousandths typed? That would be {meant}.")
    return words.format(
        value=write.of(note.params["value"], "small_length"),
        meant=write.of(note.params["as_mm"], "small_length"),
    )


def _not_comparable(note: Note, write: Written) -> str:
    return _(
        "Enter both gauge loads, and whether the rotor's weight is left out of them. The prediction needs them."
    )


def _typical(note: Note, write: Written) -> str:
    words = _("Typical for this arrangement: {low} to {high}. No limit: the manufacturer's figure governs.")
    return words.format(
        low=write.of(note.params["low"], "small_length"), high=write.of(note.params["high"], "small_length")
    )


WORDS: Final = SubjectWords(
    title=_L("End play"),
    fields={
        "method": _L("Method"),
        "load_down_n": _L("Gauge load down"),
        "load_up_n": _L("Gauge load up"),
        "rotor_weight_apart": _L("Loads without rotor weight"),
        "thrust_bearing": _L("Thrust bearing arrangement"),
        "down_1": _L("Dial, loaded down, 1st"),
        "up_1": _L("Dial, loaded up, 1st"),
        "down_2": _L("Dial, loaded down, 2nd"),
        "up_2": _L("Dial, loaded up, 2nd"),
        "down_3": _L("Dial, loaded down, 3rd"),
        "up_3": _L("Dial, loaded up, 3rd"),
        "lift_mm": _L("Rotor lift"),
    },
    choices={
        "jack": _L("jack and indicator"),
        "hoist": _L("hoist and indicator"),
        "lever": _L("bar and indicator"),
        "angular_contact": _L("angular contact"),
        "back_to_back": _L("back to back (DB)"),
        "spherical_roller": _L("spherical roller thrust"),
    },
    results={
        "end_play": _L("End play"),
        "end_play_spread": _L("End play, spread of repeats"),
        "rotor_lift": _L("Rotor lift"),
    },
    notes={
        "turned_around": _turned_around,
        "repeats_differ": _repeats_differ,
        "few_repeats": _few_repeats,
        "mils_typed": _mils_typed,
        "not_comparable": _not_comparable,
        "typical": _typical,
    },
    cautions=(
        _L("Lock out. Jack or lift only under rated points, and never put a hand below the rotor."),
        _L("Note the jack's load: too much of it dents the bearing's raceways."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
