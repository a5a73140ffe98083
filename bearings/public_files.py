"""The door into ``bearings`` for commands on files: read, refuse and answer as the stack checker does."""

from bearings.management.file_command import FOUND_SOMETHING, NOT_PROVEN, FileCommand, read_content
from bearings.stack_file import (
    WHOLE_FILE,
    FieldSpec,
    FileReader,
    StackFileError,
    accepted,
    check_value,
    read_json,
)

__all__ = [
    "FOUND_SOMETHING",
    "NOT_PROVEN",
    "WHOLE_FILE",
    "FieldSpec",
    "FileCommand",
    "FileReader",
    "StackFileError",
    "accepted",
    "check_value",
    "read_content",
    "read_json",
]
