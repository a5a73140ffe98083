"""Insulation resistance in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _ohms_typed(note: Note, write: Written) -> str:
    words = _("{value} is more than a megohmmeter reads. Ohms typed as megohms? That would be {meant}.")
    return words.format(
        value=write.of(note.params["value"], "insulation"),
        meant=write.of(note.params["as_mohm"], "insulation"),
    )


def _test_voltage(note: Note, write: Written) -> str:
    figures = {
        "value": write.of(note.params["value"], "voltage"),
        "rated": write.of(note.params["rated_v"], "voltage"),
        "low": write.of(note.params["low"], "voltage"),
        "high": write.of(note.params["high"], "voltage"),
    }
    if note.params["low"] == note.params["high"]:
        return _("Test voltage {value}: for a {rated} winding use {low} DC.").format(**figures)
    return _("Test voltage {value}: for a {rated} winding use {low} to {high} DC.").format(**figures)


def _falls(note: Note, write: Written) -> str:
    words = _(
        "10-min reading {ten} is below the 1-min reading {one}: moisture, dirt or leakage. Dry, clean, retest."
    )
    return words.format(
        ten=write.of(note.params["r_10min"], "insulation"), one=write.of(note.params["r_1min"], "insulation")
    )


def _other_method(note: Note, write: Written) -> str:
    value = write.of(note.params["value"], "insulation")
    if note.params["method"] == "ten_degree":
        return _("By the 10 °C rule it would be {value} at 40 °C, with the opposite verdict.").format(
            value=value
        )
    return _("By the thermosetting curve it would be {value} at 40 °C, with the opposite verdict.").format(
        value=value
    )


def _method_decides(note: Note, write: Written) -> str:
    words = _(
        "The verdict depends on the correction: {ten} by the 10 °C rule, {curve} by the thermosetting curve."
    )
    return words.format(
        ten=write.of(note.params["ten_degree"], "insulation"),
        curve=write.of(note.params["thermosetting"], "insulation"),
    )


def _no_factor(note: Note, write: Written) -> str:
    words = _("The thermosetting curve runs from {low} to {high}. At {value} use the 10 °C rule.")
    return words.format(
        low=write.of(10.0, "temperature"),
        high=write.of(85.0, "temperature"),
        value=write.of(note.params["winding_c"], "temperature"),
    )


def _meaningless(note: Note, write: Written) -> str:
    words = _("1-min reading above {limit}: the polarization index says little.")
    return words.format(limit=write.of(5000.0, "insulation"))


WORDS: Final = SubjectWords(
    title=_L("Insulation resistance"),
    fields={
        "method": _L("Temperature correction"),
        "test_voltage_v": _L("Test voltage (DC)"),
        "winding_c": _L("Winding temperature"),
        "r_30s": _L("30 s"),
        "r_1min": _L("1 min"),
        "r_10min": _L("10 min"),
        "humidity_percent": _L("Humidity"),
    },
    choices={"ten_degree": _L("10 °C rule"), "thermosetting": _L("thermosetting curve")},
    results={
        "insulation": _L("Insulation resistance, 1 min, corrected to 40 °C"),
        "polarization_index": _L("Polarization index (10 min / 1 min)"),
        "absorption_ratio": _L("Absorption ratio (1 min / 30 s)"),
    },
    notes={
        "ohms_typed": _ohms_typed,
        "test_voltage": _test_voltage,
        "falls_with_time": _falls,
        "other_method_differs": _other_method,
        "method_decides": _method_decides,
        "no_factor": _no_factor,
        "index_meaningless": _meaningless,
    },
    cautions=(
        _L("Lock out, try out, and disconnect cables and surge capacitors before the test."),
        _L("Barrier and sign up, second person present. Nobody touches the motor during the test."),
        _L(
            "Ground the winding after the test for at least 4 times the test time (from memory, unverified). Check "
            "that it is discharged before you touch it."
        ),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
