"""One value against its field: the same test for files and forms."""

from __future__ import annotations

from math import isfinite

from django.utils.translation import gettext as _

from bearings.stack_file.mistakes import accepted
from bearings.stack_file.specs import LONGEST_TEXT, FieldSpec

Value = str | int | float | bool | None


def check_value(spec: FieldSpec, value: object) -> tuple[Value, str | None]:
    """Return the value as the engineering takes it, and the sentence of what is wrong with it."""
    if value is None:
        return None, None
    if spec.kind in ("number", "integer"):
        return _number(spec, value)
    if spec.kind == "boolean":
        if isinstance(value, bool):
            return value, None
        return None, f"{_('Enter true or false.')} {accepted(spec)}"
    if not isinstance(value, str):
        return None, f"{_('Enter text.')} {accepted(spec)}"
    if spec.kind == "choice":
        if value in spec.choices:
            return value, None
        return None, f"{_('Use one of the choices.')} {accepted(spec)}"
    return _text(spec, value)


def _text(spec: FieldSpec, value: str) -> tuple[Value, str | None]:
    if len(value) > LONGEST_TEXT:
        return None, f"{_('Text has %(length)d characters.') % {'length': len(value)}} {accepted(spec)}"
    if any(character == "\0" or "\ud800" <= character <= "\udfff" for character in value):
        return None, f"{_('Remove the character that cannot be stored.')} {accepted(spec)}"
    # A blank entry tells nothing: it is as unknown as an absent one.
    return value.strip() or None, None


def _number(spec: FieldSpec, value: object) -> tuple[Value, str | None]:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None, f"{_('Enter a number.')} {accepted(spec)}"
    if isinstance(value, float) and not isfinite(value):
        return None, f"{_('Enter a finite number.')} {accepted(spec)}"
    if spec.kind == "integer" and value != int(value):
        return None, f"{_('Enter a whole number.')} {accepted(spec)}"
    low, high = spec.minimum, spec.maximum
    if (low is not None and value < low) or (high is not None and value > high):
        return None, f"{_('Number is out of range.')} {accepted(spec)}"
    return (int(value) if spec.kind == "integer" else float(value)), None
