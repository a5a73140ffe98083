"""Ratings of a source as a file that a spreadsheet reads and writes: read, checked, taken in, written."""

from __future__ import annotations

from bearings.book_file.arrival import arriving, put_in_force, remove_broken_imports
from bearings.book_file.checking import FileReport, check_rating_file
from bearings.book_file.columns import COLUMNS
from bearings.book_file.contents import CONTENTS
from bearings.book_file.importing import (
    MOST_CORRECTED,
    ImportRefusedError,
    PreparedImport,
    prepare_import,
    refuse_unfit,
)
from bearings.book_file.lines import MOST_BYTES, MOST_LINES
from bearings.book_file.mistakes import BookFileError
from bearings.book_file.writer import export_lines, template_lines

__all__ = [
    "COLUMNS",
    "CONTENTS",
    "MOST_BYTES",
    "MOST_CORRECTED",
    "MOST_LINES",
    "BookFileError",
    "FileReport",
    "ImportRefusedError",
    "PreparedImport",
    "arriving",
    "check_rating_file",
    "export_lines",
    "prepare_import",
    "put_in_force",
    "refuse_unfit",
    "remove_broken_imports",
    "template_lines",
]
