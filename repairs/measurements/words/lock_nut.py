"""Lock nut in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _reversed(note: Note, write: Written) -> str:
    words = _("Lowest torque {low} is above the highest {high}. Swapped?")
    return words.format(
        low=write.of(note.params["low"], "torque"), high=write.of(note.params["high"], "torque")
    )


def _not_locked(note: Note, write: Written) -> str:
    return _("The nut is not locked. Bend the tab or fit the lock before the housing closes.")


def _lock_unknown(note: Note, write: Written) -> str:
    return _("Enter whether the nut is locked.")


def _other_unit(note: Note, write: Written) -> str:
    words = _(
        "Torque {value} is far from the manufacturer's {low} to {high}. Inch pounds typed as foot pounds?"
    )
    return words.format(
        value=write.of(note.params["value"], "torque"),
        low=write.of(note.params["low"], "torque"),
        high=write.of(note.params["high"], "torque"),
    )


def _small_face(note: Note, write: Written) -> str:
    words = _("Mean face diameter {face} is below the thread's {thread}. Check both sizes.")
    return words.format(
        face=write.of(note.params["face"], "length"), thread=write.of(note.params["thread"], "length")
    )


WORDS: Final = SubjectWords(
    title=_L("Lock nut"),
    fields={
        "torque_nm": _L("Torque"),
        "maker_low_nm": _L("Manufacturer's lowest torque"),
        "maker_high_nm": _L("Manufacturer's highest torque"),
        "turn_deg": _L("Turn after contact"),
        "nut_locked": _L("Nut locked"),
        "thread_mm": _L("Thread diameter"),
        "pitch_mm": _L("Thread pitch"),
        "friction_thread": _L("Friction, thread"),
        "friction_face": _L("Friction, face"),
        "face_mm": _L("Mean diameter of face"),
    },
    results={"nut_torque": _L("Lock nut torque"), "nut_force": _L("Axial force of nut")},
    notes={
        "reversed": _reversed,
        "not_locked": _not_locked,
        "lock_unknown": _lock_unknown,
        "other_unit": _other_unit,
        "small_face": _small_face,
    },
    cautions=(
        _L("Lock out. Hold the rotor with a proper bar; a slipping wrench breaks fingers."),
        _L("Your employer's safety program and local codes govern."),
    ),
    hints={"friction_thread": _L("Friction is a guess unless measured: the force is an estimate.")},
)
