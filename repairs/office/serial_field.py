"""The serial number on forms: read with the same keys as every field of the nameplate (-, ?, ~)."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from repairs.motors.plate_figures import INFERRED_MARK, mark_of
from repairs.office.plate_form import MARKS, UNREADABLE


def serial_field() -> forms.CharField:
    """Return the field; js/plate.js knows it by its attribute."""
    return forms.CharField(
        label=gettext_lazy("Serial no."),
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"data-plate-value": "", "autocomplete": "off"}),
    )


def read_serial(typed: str, state: str, before: str = "read") -> tuple[str, str]:
    """Return serial number and how it was read: by the mark that was typed, else by the choice beside it.

    ``before`` is the choice that the page was sent with: where only the choice was changed, it counts.
    """
    if mark := mark_of(typed):
        return "", state if state in UNREADABLE and state != before else mark
    if typed.startswith(INFERRED_MARK):
        return typed[1:].strip(), "inferred"
    # A number typed over a mark, or without the mark that stood before it, was read.
    return typed, "read" if typed and state == before else state


def serial_as_typed(serial: str, state: str) -> str:
    """Return what the field shows: the number, behind its mark where it is known from elsewhere, or a mark alone."""
    return MARKS.get(state) or (f"{INFERRED_MARK}{serial}" if state == "inferred" and serial else serial)


def bare_serial(typed: str) -> str:
    """Return the number itself, as motors are looked for by it; nothing of a mark."""
    return read_serial(typed.strip(), "read")[0]
