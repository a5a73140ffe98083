"""One value against its field: the same test for files and forms."""

from __future__ import annotations

from math import isfinite

from django.utils.translation import gettext as _

from bearings.stack_file.mistakes import accepted
from bearings.stack_file.specs import LONGEST_TEXT, FieldSpec
from bearings.wording.figures import grouped

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
        return None, _refusal(_("Enter true or false."), spec)
    if not isinstance(value, str):
        return None, _refusal(_("Enter text."), spec)
    if spec.kind == "choice":
        if value in spec.choices:
            return value, None
        return None, _refusal(_("Use one of the choices."), spec)
    return _text(spec, value)


def _refusal(words: str, spec: FieldSpec) -> str:
    return f"{words} {accepted(spec)}"


def _text(spec: FieldSpec, value: str) -> tuple[Value, str | None]:
    if len(value) > LONGEST_TEXT:
        return None, _refusal(_("Text has %(length)s characters.") % {"length": grouped(len(value))}, spec)
    if any(character == "\0" or "\ud800" <= character <= "\udfff" for character in value):
        return None, _refusal(_("Remove the character that cannot be stored."), spec)
    # A blank entry tells nothing: it is as unknown as an absent one.
    return value.strip() or None, None


def _number(spec: FieldSpec, value: object) -> tuple[Value, str | None]:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None, _refusal(_("Enter a number."), spec)
    if isinstance(value, float) and not isfinite(value):
        return None, _refusal(_("Enter a finite number."), spec)
    if spec.kind == "integer" and value != int(value):
        return None, _refusal(_("Enter a whole number."), spec)
    low, high = spec.minimum, spec.maximum
    if (low is not None and value < low) or (high is not None and value > high):
        return None, _refusal(_("Number is out of range."), spec)
    return (int(value) if spec.kind == "integer" else float(value)), None
