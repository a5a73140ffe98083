"""The stack file: JSON in, a stack out, and the other way round."""

from __future__ import annotations

from bearings.stack_file.fields import CONTACT_ANGLE_DEG, ROOMS, field_spec
from bearings.stack_file.file_reader import FileReader
from bearings.stack_file.mistakes import Mistake, StackFileError, accepted
from bearings.stack_file.reader import (
    parse_assembly,
    parse_guide,
    parse_item,
    parse_stack,
    parse_without_speed,
)
from bearings.stack_file.specs import MOST_BYTES, FieldSpec
from bearings.stack_file.text import WHOLE_FILE, read_json
from bearings.stack_file.values import check_value
from bearings.stack_file.writer import guide_values, item_values, stack_values

__all__ = [
    "CONTACT_ANGLE_DEG",
    "MOST_BYTES",
    "ROOMS",
    "WHOLE_FILE",
    "FieldSpec",
    "FileReader",
    "Mistake",
    "StackFileError",
    "accepted",
    "check_value",
    "field_spec",
    "guide_values",
    "item_values",
    "parse_assembly",
    "parse_guide",
    "parse_item",
    "parse_stack",
    "parse_without_speed",
    "read_json",
    "stack_values",
]
