"""No-load run in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def do_not_run(note: Note, write: Written) -> str:
    """Say that no motor runs on so uneven a supply, loaded or not."""
    words = _("Voltage unbalance {value}: do not run a motor above {most}. Fix the supply and test again.")
    return words.format(value=write.of(note.params["value"], "percent"), most=write.of(5.0, "percent"))


def _derate(note: Note, write: Written) -> str:
    words = _(
        "Voltage unbalance {value}: at load the motor could carry {factor} of rated power. Check the supply."
    )
    return words.format(
        value=write.of(note.params["value"], "percent"), factor=write.of(note.params["factor"], "percent")
    )


def _explains(note: Note, write: Written) -> str:
    words = _(
        "Voltage unbalance {volts} alone gives {low} to {high} of current unbalance. Measure again on an even supply."
    )
    return words.format(
        volts=write.of(note.params["volts"], "percent"),
        low=write.of(note.params["low"], "percent"),
        high=write.of(note.params["high"], "percent"),
    )


def _explains_not(note: Note, write: Written) -> str:
    words = _(
        "Voltage unbalance {volts} gives at most {high} of current unbalance. Check winding, connection and leads."
    )
    return words.format(
        volts=write.of(note.params["volts"], "percent"), high=write.of(note.params["high"], "percent")
    )


def _voltage_off(note: Note, write: Written) -> str:
    words = _(
        "{value} at {hz} is more than 10% off the rating of {rated}: no-load amps are not compared with FLA."
    )
    return words.format(
        value=write.of(note.params["value"], "voltage"),
        hz=write.of(note.params["hz"], "frequency"),
        rated=write.of(note.params["rated_v"], "voltage"),
    )


def _share(note: Note, write: Written) -> str:
    words = _("No-load amps are {value} of FLA; motors with {poles} poles usually draw {low} to {high}.")
    return words.format(
        value=write.of(note.params["value"], "percent"),
        poles=write.number(float(note.params["poles"] or 0), "plain"),
        low=write.of(note.params["low"], "percent"),
        high=write.of(note.params["high"], "percent"),
    )


def _above(note: Note, write: Written) -> str:
    words = _("{value} is above the synchronous speed {synchronous}. Check RPM, poles and frequency.")
    return words.format(
        value=write.of(note.params["value"], "speed"),
        synchronous=write.of(note.params["synchronous"], "speed"),
    )


def _slips(note: Note, write: Written) -> str:
    words = _(
        "{value} without load is below full-load {rated}. Check for a load, a rub, broken bars or a wrong connection."
    )
    return words.format(
        value=write.of(note.params["value"], "speed"), rated=write.of(note.params["rated"], "speed")
    )


def _power(note: Note, write: Written) -> str:
    words = _("{value} is more than volts and amps can carry. Check the unit and the meter's factors.")
    return words.format(value=write.of(note.params["value"], "power"))


WORDS: Final = SubjectWords(
    title=_L("No-load run"),
    fields={
        "v_ab": _L("Volts 1 to 2"),
        "v_bc": _L("Volts 2 to 3"),
        "v_ca": _L("Volts 3 to 1"),
        "i_a": _L("Amps 1"),
        "i_b": _L("Amps 2"),
        "i_c": _L("Amps 3"),
        "rpm": _L("No-load RPM"),
        "watts": _L("Input power"),
        "supply_hz": _L("Supply frequency"),
    },
    results={
        "voltage_unbalance": _L("Voltage unbalance"),
        "current_unbalance": _L("No-load current unbalance"),
        "no_load_share": _L("No-load amps as a share of FLA"),
        "no_load_slip": _L("Slip without load"),
        "no_load_power": _L("Input power without load"),
        "no_load_pf": _L("Power factor without load"),
    },
    notes={
        "do_not_run": do_not_run,
        "derate": _derate,
        "voltage_explains": _explains,
        "voltage_explains_not": _explains_not,
        "voltage_off": _voltage_off,
        "share_unusual": _share,
        "above_synchronous": _above,
        "slips_like_loaded": _slips,
        "power_too_high": _power,
    },
    cautions=(
        _L("WARNING Rotating shaft. Bolt the motor down, guard the shaft, remove or secure the key."),
        _L(
            "Lubricant in, shaft turns by hand, rotation right for the non-reverse ratchet, before power is on."
        ),
        _L("Lock out and try out before you touch the motor or its leads."),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
