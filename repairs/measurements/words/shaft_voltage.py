"""Shaft voltage in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _inverter(note: Note, write: Written) -> str:
    return _("The limit is for a sine supply. On a drive the value is recorded and not judged.")


def _consider(note: Note, write: Written) -> str:
    words = _("Shaft voltage {value} peak is above {most}. Consider insulating one bearing.")
    return words.format(
        value=write.of(note.params["value"], "shaft_voltage"),
        most=write.of(note.params["most"], "shaft_voltage"),
    )


def _carries(note: Note, write: Written) -> str:
    words = _(
        "Shaft voltage {value} peak is above {most}: the bearing insulation must be good on both tests."
    )
    return words.format(
        value=write.of(note.params["value"], "shaft_voltage"),
        most=write.of(note.params["most"], "shaft_voltage"),
    )


def _shop_flag(note: Note, write: Written) -> str:
    words = _(
        "Shaft voltage {value} rms is above {most}, where shops look for the cause. Find it before the motor ships."
    )
    return words.format(
        value=write.of(note.params["value"], "shaft_voltage"),
        most=write.of(note.params["most"], "shaft_voltage"),
    )


def _test_voltage(note: Note, write: Written) -> str:
    words = _("Bearing insulation tested at {value}; the limit is for {usual} DC. Test again at {usual}.")
    return words.format(
        value=write.of(note.params["value"], "voltage"), usual=write.of(note.params["usual"], "voltage")
    )


def _nothing_insulated(note: Note, write: Written) -> str:
    return _("No bearing is insulated, but a bearing insulation is entered. Check both.")


WORDS: Final = SubjectWords(
    title=_L("Shaft voltage and bearing insulation"),
    fields={
        "shaft_v": _L("Shaft voltage, end to end"),
        "read_as": _L("Read as"),
        "supply": _L("Supply"),
        "insulated": _L("A bearing is insulated"),
        "bearing_mohm": _L("Bearing insulation"),
        "bearing_test_v": _L("Test voltage (DC)"),
    },
    choices={
        "peak": _L("peak"),
        "rms": _L("rms"),
        "sine": _L("sine (line power)"),
        "inverter": _L("drive (VFD)"),
    },
    results={
        "shaft_voltage": _L("Shaft voltage, peak"),
        "bearing_insulation": _L("Insulation resistance of the bearing"),
    },
    notes={
        "inverter_supply": _inverter,
        "consider_insulating": _consider,
        "insulation_carries": _carries,
        "shop_flag": _shop_flag,
        "bearing_test_voltage": _test_voltage,
        "nothing_insulated": _nothing_insulated,
    },
    cautions=(
        _L("WARNING Rotating shaft. Probes on insulated handles, no loose clothing, guards in place."),
        _L("Bearing insulation: motor locked out and still, sensor leads and couplings off."),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
