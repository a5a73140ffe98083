"""Check one value against its field."""

from __future__ import annotations

from math import isfinite
from typing import Any

from bearings.stack_file.fields import MAX_TEXT, FieldSpec


def check_value(spec: FieldSpec, value: Any) -> tuple[str | None, Any]:
    """Return what is wrong with a value (None when nothing is) and the value to keep."""
    if spec.kind == "flag":
        return (None, value) if isinstance(value, bool) else (f"{spec.accepted()} is accepted", None)
    if spec.kind == "choice":
        known = isinstance(value, str) and value in spec.choices
        return (None, value) if known else (f"{spec.accepted()} is accepted", None)
    if spec.kind == "text":
        return _check_text(spec, value)
    return _check_number(spec, value)


def _check_text(spec: FieldSpec, value: Any) -> tuple[str | None, Any]:
    if not isinstance(value, str):
        return f"{spec.accepted()} is accepted", None
    if len(value) > MAX_TEXT:
        return f"{len(value)} characters; {spec.accepted()} is accepted", None
    return None, value


def _check_number(spec: FieldSpec, value: Any) -> tuple[str | None, Any]:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return f"{spec.accepted()} is accepted", None
    if isinstance(value, float) and not isfinite(value):
        return f"not a finite number; {spec.accepted()} is accepted", None
    if spec.kind == "integer" and value != int(value):
        return f"{spec.accepted()} is accepted", None
    if value < spec.low or value > spec.high or (spec.above and value <= spec.low):
        return f"out of range; {spec.accepted()} is accepted", None
    return None, (int(value) if spec.kind == "integer" else float(value))
