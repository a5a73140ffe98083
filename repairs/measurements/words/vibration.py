"""Vibration in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy
POINTS: Final = {
    "vib_top_0": _L("Vibration, top bearing, radial 0°"),
    "vib_top_90": _L("Vibration, top bearing, radial 90°"),
    "vib_top_axial": _L("Vibration, top bearing, axial"),
    "vib_low_0": _L("Vibration, bottom bearing, radial 0°"),
    "vib_low_90": _L("Vibration, bottom bearing, radial 90°"),
}
DISPLACEMENTS: Final = {
    "disp_top_0": _L("Displacement, top bearing, radial 0°"),
    "disp_top_90": _L("Displacement, top bearing, radial 90°"),
    "disp_top_axial": _L("Displacement, top bearing, axial"),
    "disp_low_0": _L("Displacement, bottom bearing, radial 0°"),
    "disp_low_90": _L("Displacement, bottom bearing, radial 90°"),
}


def _coupling_differs(note: Note, write: Written) -> str:
    if note.params["standard"] == "iso_in_situ":
        return _("This limit is for a motor running in place, coupled. It ran uncoupled: choose NEMA or IEC.")
    return _("This limit is for an uncoupled motor without load. It ran coupled: uncouple and run again.")


def _coupling_unknown(note: Note, write: Written) -> str:
    if note.params["standard"] == "iso_in_situ":
        return _("This limit is for a motor running in place, coupled. Enter whether it was coupled.")
    return _("This limit is for an uncoupled motor without load. Enter whether it was uncoupled.")


def _inches_typed(note: Note, write: Written) -> str:
    words = _("{point}: {value} is violent. mm/s typed as in/s? That would be {meant}.")
    return words.format(
        point=POINTS[str(note.params["field"])],
        value=write.of(note.params["value"], "vibration"),
        meant=write.of(note.params["as_mm"], "vibration"),
    )


def _mm_typed(note: Note, write: Written) -> str:
    words = _("{point}: {value} is hardly any. in/s typed as mm/s? That would be {meant}.")
    return words.format(
        point=POINTS[str(note.params["field"])],
        value=write.of(note.params["value"], "vibration"),
        meant=write.of(note.params["as_mm"], "vibration"),
    )


def _part_over_whole(note: Note, write: Written) -> str:
    words = _(
        "{point}: the displacement alone makes {part}, more than the {value} entered. "
        "Check the frequency and both readings."
    )
    return words.format(
        point=POINTS[str(note.params["field"])],
        part=write.of(note.params["part"], "vibration"),
        value=write.of(note.params["value"], "vibration"),
    )


def _displacement_only(note: Note, write: Written) -> str:
    if note.params["over"] == "yes":
        words = _("{point}: the displacement alone makes {part}, over the limit.")
    else:
        words = _(
            "{point}: the displacement makes {part} at its frequency. Other frequencies add to it: "
            "measure overall velocity."
        )
    return words.format(
        point=POINTS[str(note.params["field"])], part=write.of(note.params["part"], "vibration")
    )


def _band(note: Note, write: Written) -> str:
    words = _(
        "At {value} the running speed is below {low}. Set the instrument to a band that includes running speed."
    )
    return words.format(
        value=write.of(note.params["value"], "speed"), low=write.of(note.params["from_hz"], "frequency")
    )


def _outside_speeds(note: Note, write: Written) -> str:
    words = _("This standard covers {low} to {high}. At {value} use the customer's or manufacturer's limit.")
    return words.format(
        low=write.of(note.params["low"], "speed"),
        high=write.of(note.params["high"], "speed"),
        value=write.of(note.params["value"], "speed"),
    )


def _mounting_differs(note: Note, write: Written) -> str:
    if note.params["standard"] == "iso_in_situ":
        return _("A motor running in place stands on a rigid or flexible foundation. Choose one of these.")
    return _("IEC 60034-14 knows free suspension and rigid mounting. Choose one of these.")


def _no_value(note: Note, write: Written) -> str:
    words = _("This grade has no limit for a shaft height of {height} on this mounting.")
    return words.format(height=write.of(note.params["height"], "length"))


def _small_motor(note: Note, write: Written) -> str:
    words = _(
        "ISO 20816-3 begins above 15 kW; this motor has {value}. Use the customer's or manufacturer's limit."
    )
    return words.format(value=write.of(note.params["value"], "power"))


def _zone(note: Note, write: Written) -> str:
    words = _("Highest point {value}: zone {zone}.")
    return words.format(value=write.of(note.params["value"], "vibration"), zone=note.params["zone"])


def _reed_near(note: Note, write: Written) -> str:
    words = _(
        "Reed frequency {reed} is within {share} of running speed ({run}). "
        "Readings on this stand may be false: stiffen the stand or run at another speed."
    )
    return words.format(
        reed=write.of(note.params["reed_hz"], "frequency"),
        run=write.of(note.params["run_hz"], "frequency"),
        share=write.of(note.params["share"], "percent"),
    )


def _reed_suspect(note: Note, write: Written) -> str:
    words = _(
        "At running speed the top shakes {top}, the bottom {low}. "
        "Suspect a reed resonance of the stand: bump-test it with the motor at rest."
    )
    return words.format(
        top=write.of(note.params["top"], "vibration"), low=write.of(note.params["low"], "vibration")
    )


def _top_far_above(note: Note, write: Written) -> str:
    words = _(
        "The top shakes {top}, the bottom {low}. "
        "Measure both at running speed (1x): if it is 1x, suspect a reed resonance of the stand."
    )
    return words.format(
        top=write.of(note.params["top"], "vibration"), low=write.of(note.params["low"], "vibration")
    )


WORDS: Final = SubjectWords(
    title=_L("Vibration"),
    fields={
        "standard": _L("Limit by"),
        "mounting": _L("Mounting"),
        "uncoupled": _L("Uncoupled, no load"),
        "shaft_height_mm": _L("Shaft height of frame"),
        "run_rpm": _L("Speed during test"),
        **POINTS,
        **DISPLACEMENTS,
        "disp_hz": _L("Frequency of displacement"),
        "top_1x": _L("Top at running speed (1x)"),
        "low_1x": _L("Bottom at running speed (1x)"),
        "reed_hz": _L("Reed frequency on stand"),
    },
    choices={
        "nema_resilient": _L("NEMA MG 1, resilient mounting"),
        "nema_rigid": _L("NEMA MG 1, rigid mounting"),
        "iec_a": _L("IEC 60034-14, grade A"),
        "iec_b": _L("IEC 60034-14, grade B"),
        "iso_in_situ": _L("ISO 20816-3, in place"),
        "free": _L("free suspension"),
        "rigid": _L("rigid"),
        "flexible": _L("flexible foundation"),
    },
    results=POINTS,
    notes={
        "coupling_differs": _coupling_differs,
        "coupling_unknown": _coupling_unknown,
        "inches_typed": _inches_typed,
        "mm_typed": _mm_typed,
        "part_over_whole": _part_over_whole,
        "displacement_only": _displacement_only,
        "band": _band,
        "outside_speeds": _outside_speeds,
        "mounting_differs": _mounting_differs,
        "no_value": _no_value,
        "small_motor": _small_motor,
        "zone": _zone,
        "reed_near": _reed_near,
        "reed_suspect": _reed_suspect,
        "top_far_above": _top_far_above,
    },
    cautions=(
        _L("Remove or secure the shaft key before the run. A loose key flies out."),
        _L("Bolt the motor down. Guard the shaft end; keep hands, hair and cables away from it."),
        _L("Lock out before you touch the shaft or move a sensor near it."),
        _L("Your employer's safety program and local codes govern."),
    ),
    hints={
        "disp_hz": _L("Usually running speed: rpm / 60."),
        "shaft_height_mm": _L("Of the foot-mounted frame of the same size."),
    },
)
