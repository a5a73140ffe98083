"""The stack file (version 1): read with every mistake named at once, written, and published as a schema."""

from bearings.stack_file.answer import answer_of, comparison_of
from bearings.stack_file.errors import Mistake, StackFileError
from bearings.stack_file.fields import FieldSpec, bearing_fields, field_spec
from bearings.stack_file.reader import read_bytes, read_item, read_stack
from bearings.stack_file.writer import stack_to_dict

__all__ = [
    "FieldSpec",
    "Mistake",
    "StackFileError",
    "answer_of",
    "bearing_fields",
    "comparison_of",
    "field_spec",
    "read_bytes",
    "read_item",
    "read_stack",
    "stack_to_dict",
]
