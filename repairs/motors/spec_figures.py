"""Figures of the stack file's fields as people type and read them: sign of the unit, range, other units behind."""

from __future__ import annotations

from typing import Final

from django import forms
from django.utils.translation import gettext as _

from bearings.public import CONTACT_ANGLE_DEG, FieldSpec, choice_label, field_spec, plain, sign_of
from repairs.edge.typed_numbers import NumberError, read_typed
from repairs.motors.units import INCH_MM, QUANTITIES, Unit, written_unit

# From a shim to a long spacer: common practice, no source. What lies outside is asked for its unit.
PART_HEIGHTS_MM: Final = (0.05, 150.0)
_QUANTITIES: Final = {"N": "force", "mm": "length", "degC": "temperature", "rpm": "speed"}


def unit_sign(spec: FieldSpec) -> str:
    """Return a field's unit as people write it; a count has none."""
    return sign_of(spec.unit)


def accepted_range(spec: FieldSpec) -> str:
    """Say what a figure may be, with its unit, and which other units may be typed behind it."""
    if spec.minimum is None or spec.maximum is None:
        return ""
    low, high = spec.minimum, spec.maximum
    words = _("above 0, at most {high}") if 0 < low < 1e-6 else _("{low} to {high}")
    text = f"{words.format(low=plain(low), high=plain(high))}\u00a0{unit_sign(spec)}".strip()
    if spec.name == "contact_angle_deg":
        least, most = CONTACT_ANGLE_DEG
        return _("{range}; angular contact {low} to {high}").format(
            range=text, low=plain(least), high=plain(most)
        )
    others = [unit.name for unit in _units(spec)[1:]]
    if not others:
        return text
    return _("{range}. Or type the unit: {units}").format(range=text, units=", ".join(others))


def figure_words(name: str, value: float | str) -> str:
    """Return a figure of the book as a page shows it: with its unit, or its choice in words."""
    if isinstance(value, str):
        return choice_label(value)
    return f"{plain(value)}\u00a0{unit_sign(field_spec('bearing', name))}".strip()


def _units(spec: FieldSpec) -> tuple[Unit, ...]:
    return QUANTITIES[_QUANTITIES[spec.unit]] if spec.unit in _QUANTITIES else ()


def read_figure(spec: FieldSpec, typed: str) -> float | int:
    """Return a typed figure in the stack file's unit; a comma that could be two things is asked about."""
    try:
        read = read_typed(typed)
    except NumberError as error:
        raise forms.ValidationError(
            _("{error} Accepted: {range}.").format(error=error, range=accepted_range(spec))
        ) from None
    number = float(read.number)
    if read.unit:
        number = _in_si(spec, number, read.unit, typed)
    return int(number) if spec.kind == "integer" and number == number // 1 else number


def read_height(spec: FieldSpec, typed: str, units: str) -> float | int:
    """Return the height of a spacer, shim or ring in mm: without a unit in the reader's own, asked where in doubt."""
    own, other = _units(spec) if units != "us" else reversed(_units(spec))
    try:
        read = read_typed(typed)
    except NumberError:
        return read_figure(spec, typed)
    if read.unit:
        return read_figure(spec, typed)
    height_mm, other_mm = own.to_si(float(read.number)), other.to_si(float(read.number))
    if not _is_part_height(height_mm) and _is_part_height(other_mm):
        words = _("“{typed}” looks like {other}. Enter it with its unit: {typed} {own} or {typed} {other}.")
        raise forms.ValidationError(words.format(typed=typed.strip(), own=own.name, other=other.name))
    return float(f"{height_mm:.12g}")


def height_text(height_mm: float, units: str) -> str:
    """Return a height as it is edited: in inches where four decimals say it exactly, else in mm with the unit."""
    if units != "us":
        return f"{height_mm:.15g}"
    inches = round(height_mm / INCH_MM, 4)
    return f"{inches:g}" if abs(inches * INCH_MM - height_mm) < 1e-9 else f"{height_mm:.15g} mm"


def _is_part_height(height_mm: float) -> bool:
    return PART_HEIGHTS_MM[0] <= height_mm <= PART_HEIGHTS_MM[1]


def _in_si(spec: FieldSpec, number: float, written: str, typed: str) -> float:
    if written in {unit_sign(spec), spec.unit}:
        return number
    unit = written_unit(_QUANTITIES[spec.unit], written) if spec.unit in _QUANTITIES else None
    if unit is None:
        names = ", ".join(one.name for one in _units(spec)) or unit_sign(spec)
        raise forms.ValidationError(
            _("“{typed}” has an unknown unit. Use {units}.").format(
                typed=typed[:40], units=names or _("a number without a unit")
            )
        )
    # Twelve figures: what the change of unit adds beyond them is noise of the arithmetic.
    return float(f"{unit.to_si(number):.12g}")
