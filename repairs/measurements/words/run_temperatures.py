"""Temperatures of a run in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy
COLUMNS: Final = {
    "run_minute": _L("Time since start"),
    "run_ambient": _L("Ambient"),
    "run_top": _L("Top bearing"),
    "run_bottom": _L("Bottom bearing"),
    "run_winding": _L("Winding"),
    "run_oil": _L("Oil"),
    "run_amps": _L("Current"),
    "run_vibration": _L("Vibration"),
}
REASONS: Final = {
    "completed": _L("completed, stable"),
    "limit": _L("limit exceeded"),
    "noise": _L("noise"),
    "vibration": _L("vibration"),
    "power": _L("power supply"),
    "time_up": _L("no-thrust time used up"),
    "leak": _L("oil leak"),
    "other": _L("another reason"),
}
ROTATION: Final = {"ccw": _L("counterclockwise (CCW)"), "cw": _L("clockwise (CW)")}
RATCHET: Final = {
    "held": _L("held"),
    "slipped": _L("did not hold"),
    "none": _L("not installed"),
}


def _back_in_time(note: Note, write: Written) -> str:
    words = _("Row {row}: enter a time after the row above. Nothing is computed until times run forward.")
    return words.format(row=write.of(note.params["row"], "plain"))


def _not_stable(note: Note, write: Written) -> str:
    words = _("Not stable at {minute}. Run on until nothing changes by more than 1 °C in 30 min.")
    return words.format(minute=write.of(note.params["minute"], "minutes"))


def _gap(note: Note, write: Written) -> str:
    words = _("No reading between {begin} and {end}. Read at least every 30 min.")
    return words.format(
        begin=write.of(note.params["from"], "minutes"), end=write.of(note.params["to"], "minutes")
    )


def _step(note: Note, write: Written) -> str:
    words = _("{place} jumped by {rise} at {minute}. Check oil, load and noise before you run on.")
    return words.format(
        place=COLUMNS[str(note.params["field"])],
        rise=write.of(note.params["rise"], "temperature_difference"),
        minute=write.of(note.params["minute"], "minutes"),
    )


def _fahrenheit_typed(note: Note, write: Written) -> str:
    words = _("{place}: {value} is very hot. °F typed as °C? That would be {meant}.")
    return words.format(
        place=COLUMNS[str(note.params["field"])],
        value=write.of(note.params["value"], "temperature"),
        meant=write.of(note.params["as_c"], "temperature"),
    )


def _warm_for_no_load(note: Note, write: Written) -> str:
    words = _("{place} rose {rise}. Without load {usual} is usual: check oil level, grease and preload.")
    return words.format(
        place=COLUMNS[str(note.params["field"])],
        rise=write.of(note.params["rise"], "temperature_difference"),
        usual=write.of(note.params["usual"], "temperature_difference"),
    )


def _stopped_early(note: Note, write: Written) -> str:
    words = _("Run stopped early: {reason}. Find the cause and run again.")
    return words.format(reason=REASONS[str(note.params["reason"])])


def _time_used_up(note: Note, write: Written) -> str:
    return _("The no-thrust time is used up. Let the bearings cool before another start.")


def _completed_not_stable(note: Note, write: Written) -> str:
    words = _("Marked completed, but not stable at {minute}. Completed?")
    return words.format(minute=write.of(note.params["minute"], "minutes"))


def _no_thrust_not_set(note: Note, write: Written) -> str:
    return _("No-thrust time limit: not set. Ask the lead to enter the motor maker's limit.")


def _rotation_unknown(note: Note, write: Written) -> str:
    words = _("Rotation from top: {turned}. Not checked: no rotation on the nameplate.")
    return words.format(turned=ROTATION[str(note.params["turned"])])


def _rotation_wrong(note: Note, write: Written) -> str:
    words = _(
        "STOP. Rotation from top is {turned}; the nameplate says {plate}. Swap two line leads and run again."
    )
    return words.format(
        turned=ROTATION[str(note.params["turned"])], plate=ROTATION[str(note.params["plate"])]
    )


def _ratchet_slipped(note: Note, write: Written) -> str:
    return _("STOP. The non-reverse ratchet did not hold. Fix it before the motor leaves.")


WORDS: Final = SubjectWords(
    title=_L("Run temperatures"),
    fields={
        "top_kind": _L("Top bearing type"),
        "bottom_kind": _L("Bottom bearing type"),
        "uncoupled": _L("Uncoupled, no load"),
        "no_thrust_most": _L("Longest run without thrust"),
        "stopped": _L("Run stopped because"),
        "rotation_top": _L("Rotation, seen from top"),
        "ratchet": _L("Non-reverse ratchet"),
        "temperatures": _L("Temperatures"),
        **COLUMNS,
    },
    choices={
        "rolling": _L("rolling bearing"),
        "plate": _L("plate or sleeve bearing"),
        **REASONS,
        **ROTATION,
        **RATCHET,
    },
    hints={
        "uncoupled": _L("No pump, no thrust."),
        "no_thrust_most": _L("The motor maker's limit. Without one, leave it empty."),
        "ratchet": _L("By hand, power off and locked out."),
    },
    results={
        "rise_top": _L("Top bearing, rise over ambient"),
        "rise_bottom": _L("Bottom bearing, rise over ambient"),
        "temp_top": _L("Top bearing temperature, highest"),
        "temp_bottom": _L("Bottom bearing temperature, highest"),
        "stable_min": _L("Stable since"),
        "no_thrust_min": _L("Run without thrust"),
    },
    notes={
        "back_in_time": _back_in_time,
        "not_stable": _not_stable,
        "gap": _gap,
        "step": _step,
        "fahrenheit_typed": _fahrenheit_typed,
        "warm_for_no_load": _warm_for_no_load,
        "stopped_early": _stopped_early,
        "time_used_up": _time_used_up,
        "completed_not_stable": _completed_not_stable,
        "no_thrust_not_set": _no_thrust_not_set,
        "rotation_unknown": _rotation_unknown,
        "rotation_wrong": _rotation_wrong,
        "ratchet_slipped": _ratchet_slipped,
    },
    cautions=(
        _L("Check the oil level before the start. Never run an oil-lubricated bearing dry."),
        _L("Secure or remove the shaft key, bolt the motor down and guard the shaft end."),
        _L("Housings get hot enough to burn. Read sensors from outside the guard."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
