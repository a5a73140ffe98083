"""Temperature sensors in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _outside(note: Note, write: Written) -> str:
    words = _(
        "Sensor {place} reads {ohm}, outside its whole curve: open, shorted, or another kind of sensor."
    )
    return words.format(
        place=write.number(float(note.params["place"] or 0), "plain"),
        ohm=write.of(note.params["ohm"], "resistance"),
    )


def _leads(note: Note, write: Written) -> str:
    return _("No lead resistance entered. Short the far end, measure the leads, and enter it.")


def _far(note: Note, write: Written) -> str:
    words = _("A sensor reads {value} away from the part at {part}. Check leads, kind and part temperature.")
    return words.format(
        value=write.of(note.params["value"], "temperature_difference"),
        part=write.of(note.params["part_c"], "temperature"),
    )


def _near(note: Note, write: Written) -> str:
    words = _("At {part} the thermistor is too near its threshold {threshold} to judge. Test it cold.")
    return words.format(
        part=write.of(note.params["part_c"], "temperature"),
        threshold=write.of(note.params["threshold_c"], "temperature"),
    )


WORDS: Final = SubjectWords(
    title=_L("Temperature sensors"),
    fields={
        "kind": _L("Kind of sensor"),
        "readings": _L("Readings"),
        "ohm": _L("Resistance"),
        "lead_ohm": _L("Lead resistance"),
        "part_c": _L("Part temperature"),
        "tolerance_class": _L("Tolerance class"),
        "ntc_r25": _L("NTC resistance, R25"),
        "ntc_beta": _L("NTC beta (K)"),
        "ptc_threshold_c": _L("PTC threshold temperature"),
        "ptc_pieces": _L("PTC pieces in series"),
        "circuit_mohm": _L("Sensor circuit to ground"),
    },
    choices={
        "pt100": _L("Pt 100"),
        "pt1000": _L("Pt 1000"),
        "ni120": _L("Ni 120"),
        "cu10": _L("Cu 10"),
        "ntc": _L("NTC thermistor"),
        "ptc": _L("PTC thermistor"),
        "class_aa": _L("AA"),
        "class_a": _L("A"),
        "class_b": _L("B"),
    },
    results={
        "sensor_faults": _L("Sensors open, shorted or of another kind"),
        "sensor_temperature": _L("Mean temperature of the sensors"),
        "sensor_spread": _L("Spread of the sensors"),
        "sensor_error": _L("Largest difference from the part temperature"),
        "ptc_resistance": _L("PTC thermistor resistance"),
        "sensor_insulation": _L("Insulation of the sensor circuit"),
    },
    notes={"outside_curve": _outside, "leads_count": _leads, "far_from_part": _far, "near_threshold": _near},
    cautions=(
        _L("Lock out, try out, and disconnect the sensor leads from the control before the test."),
        _L(
            "PTC thermistors: ohmmeter below 2.5 V (from memory, unverified). No megohmmeter across a sensor."
        ),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
