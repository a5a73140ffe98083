"""Run under load in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.no_load import do_not_run
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _derate(note: Note, write: Written) -> str:
    words = _(
        "Voltage unbalance {value}: the motor can carry {factor} of rated power. Fix the supply or reduce the load."
    )
    return words.format(
        value=write.of(note.params["value"], "percent"), factor=write.of(note.params["factor"], "percent")
    )


def _explains(note: Note, write: Written) -> str:
    words = _(
        "Load current unbalance {value}; voltage unbalance {volts} alone gives {low} to {high}. Fix the supply first."
    )
    return words.format(
        value=write.of(note.params["value"], "percent"),
        volts=write.of(note.params["volts"], "percent"),
        low=write.of(note.params["low"], "percent"),
        high=write.of(note.params["high"], "percent"),
    )


def _explains_not(note: Note, write: Written) -> str:
    words = _(
        "Load current unbalance {value}; voltage unbalance {volts} gives at most {high}. Check winding, connection "
        "and leads."
    )
    return words.format(
        value=write.of(note.params["value"], "percent"),
        volts=write.of(note.params["volts"], "percent"),
        high=write.of(note.params["high"], "percent"),
    )


def _into_service_factor(note: Note, write: Written) -> str:
    words = _("Amps are {value} of FLA, inside service factor {factor}. Reduce the load for continuous duty.")
    return words.format(
        value=write.of(note.params["value"], "percent"), factor=write.of(note.params["factor"], "ratio")
    )


def _above_plate(note: Note, write: Written) -> str:
    words = _("Amps are {value} of FLA, above the nameplate. Reduce the load.")
    return words.format(value=write.of(note.params["value"], "percent"))


WORDS: Final = SubjectWords(
    title=_L("Run under load"),
    fields={
        "v_ab": _L("Volts 1 to 2"),
        "v_bc": _L("Volts 2 to 3"),
        "v_ca": _L("Volts 3 to 1"),
        "i_a": _L("Amps 1"),
        "i_b": _L("Amps 2"),
        "i_c": _L("Amps 3"),
    },
    results={
        "load_volts_unbalance": _L("Voltage unbalance under load"),
        "load_amps_unbalance": _L("Load current unbalance"),
        "load_share": _L("Load amps as a share of FLA"),
    },
    notes={
        "do_not_run": do_not_run,
        "derate": _derate,
        "supply_explains": _explains,
        "supply_explains_not": _explains_not,
        "into_service_factor": _into_service_factor,
        "above_plate": _above_plate,
    },
    cautions=(
        _L(
            "WARNING Rotating shaft and live leads. Guard the shaft, close the conduit box before power is on."
        ),
        _L("Clamp meter and volt leads: only a person qualified for it, with the gear for that voltage."),
        _L("Lock out and try out before you touch the motor or its leads."),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
