"""The first reading of a rating file: separator, columns, units, how numbers are written, how many lines there are."""

from __future__ import annotations

import csv
import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import islice
from typing import Any, BinaryIO, Final

from django.utils.translation import gettext as _

from bearings.book_file.cells import number_style
from bearings.book_file.columns import COLUMNS, REQUIRED, Column, FileUnit
from bearings.book_file.lines import MOST_LINES, SEPARATORS, has_mark, refuse_size, rows, text_lines
from bearings.book_file.mistakes import BookFileError, LineNote, note
from bearings.wording.figures import grouped

HEADER_LINE: Final = 1
UNITS_LINE: Final = 2
MOST_COLUMNS: Final = 60
_WIDEST_NAME: Final = 60


@dataclass(slots=True)
class Survey:
    """What the first reading found out; the second one reads by it."""

    separator: str
    mark: bool
    columns: tuple[Column, ...]
    scales: dict[str, FileUnit] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    lines: int = 0
    comma: bool = False
    questions: list[LineNote] = field(default_factory=list)

    def as_dict(self) -> dict[str, Any]:
        """Return what a person should know of how the file is read."""
        return {
            "separator": self.separator,
            "mark": self.mark,
            "columns": [column.name for column in self.columns],
            "units": self.units,
            "lines": self.lines,
            "comma": self.comma,
        }


def survey_file(file: BinaryIO) -> Survey:
    """Read a file through once; raise :class:`BookFileError` with all that keeps it from being read at all."""
    refuse_size(file.seek(0, os.SEEK_END))
    first = list(islice(text_lines(file), 1))
    separator = _separator(first[0] if first else "")
    reading = rows(file, separator)
    nothing: tuple[int, list[str]] = (0, [])
    survey = Survey(separator, has_mark(file), _columns(next(reading, nothing)[1]))
    _take_units(survey, next(reading, nothing)[1])
    _look_at_numbers(survey, file)
    return survey


def _separator(header: str) -> str:
    """Return the separator under which the header names most columns that exist."""

    def known(separator: str) -> int:
        try:
            cells = next(csv.reader([header], delimiter=separator), [])
        except csv.Error:
            return 0
        return sum(column_name(cell) in COLUMNS for cell in cells)

    best = max(SEPARATORS, key=known)
    if known(best) == 0:
        message = _(
            "No known column name in the first line. Accepted: names such as %(names)s, separated by commas, "
            "semicolons or tabs."
        )
        names = ", ".join(list(COLUMNS)[:6])
        raise BookFileError(note(HEADER_LINE, "", header.strip(), message % {"names": names}))
    return best


def column_name(cell: str) -> str:
    """Return a header cell as a column's name is written."""
    return "_".join(cell.strip().lower().split())


def _columns(header: Sequence[str]) -> tuple[Column, ...]:
    names = [column_name(cell) for cell in header]
    while names and not names[-1]:
        names.pop()
    if len(names) > MOST_COLUMNS:
        message = _("File has %(found)s columns. Accepted: at most %(most)s.")
        words = {"found": grouped(len(names)), "most": grouped(MOST_COLUMNS)}
        raise BookFileError(note(HEADER_LINE, "", "", message % words))
    wrong = [*_wrong_names(names)]
    for name in REQUIRED:
        if name not in names:
            wrong.append(note(HEADER_LINE, name, "", _("Required column is missing. Add it.")))
    if wrong:
        raise BookFileError(*wrong)
    return tuple(COLUMNS[name] for name in names)


def _wrong_names(names: list[str]) -> list[LineNote]:
    wrong = []
    for place, name in enumerate(names):
        if name not in COLUMNS:
            nearest = get_close_matches(name[:_WIDEST_NAME], COLUMNS, n=1, cutoff=0.0)
            message = _("Unknown column. Closest name: “%(nearest)s”.")
            wrong.append(note(HEADER_LINE, name, name, message % {"nearest": nearest[0]}))
        elif name in names[:place]:
            wrong.append(note(HEADER_LINE, name, name, _("Duplicate column. Keep one.")))
    return wrong


def _take_units(survey: Survey, cells: list[str]) -> None:
    wrong = []
    cells = [cell.strip() for cell in cells] + [""] * len(survey.columns)
    for column, typed in zip(survey.columns, cells, strict=False):
        if not column.numeric:
            if typed and typed.casefold() not in {"-", "unit", "units"}:
                message = _(
                    "The second line gives the unit; a text column has none. Accepted: an empty cell."
                )
                wrong.append(note(UNITS_LINE, column.name, typed, message))
            continue
        scale = column.unit_of(typed)
        if scale is None:
            message = _("The second line gives the unit of each column. Accepted: %(units)s.")
            units = ", ".join(column.units) or _("an empty cell (plain number)")
            wrong.append(note(UNITS_LINE, column.name, typed, message % {"units": units}))
            continue
        survey.scales[column.name] = scale
        if column.units:
            survey.units[column.name] = typed
    if wrong:
        raise BookFileError(*wrong)


def _look_at_numbers(survey: Survey, file: BinaryIO) -> None:
    """Count the lines and decide whether the file writes decimals with a comma."""
    # Of each numeric column: the first line on which each way of writing a number stands.
    styles: dict[str, dict[str, int]] = {column.name: {} for column in survey.columns if column.numeric}
    numeric = [(place, styles[column.name]) for place, column in enumerate(survey.columns) if column.numeric]
    for number, cells in rows(file, survey.separator):
        if number <= UNITS_LINE or is_left_aside(cells):
            continue
        survey.lines += 1
        if survey.lines > MOST_LINES:
            message = _("File has more than %(most)s lines. Split the file.")
            raise BookFileError(note(number, "", "", message % {"most": grouped(MOST_LINES)}))
        for place, first in numeric:
            text = cells[place].strip() if place < len(cells) else ""
            if "," in text or "." in text:
                first.setdefault(number_style(text), number)
    _decide_marks(survey, styles)


def is_left_aside(cells: Sequence[str]) -> bool:
    """Whether a row holds nothing, or is a comment: its first cell begins with #."""
    return not cells or cells[0].lstrip().startswith("#") or not any(cell.strip() for cell in cells)


def _decide_marks(survey: Survey, found: dict[str, dict[str, int]]) -> None:
    comma = any("comma" in first for first in found.values())
    point = any("point" in first for first in found.values())
    if survey.separator == ",":
        return
    survey.comma = comma
    wrong = []
    for name, first in found.items():
        commas = min((first[style] for style in ("comma", "three-comma") if style in first), default=None)
        points = min((first[style] for style in ("point", "three-point") if style in first), default=None)
        if commas and points:
            message = _(
                "Line %(comma)d uses a decimal comma in this column, line %(point)d a point. Use one style in "
                "a column, and no thousands separators."
            )
            wrong.append(note(max(commas, points), name, "", message % {"comma": commas, "point": points}))
        elif "three-comma" in first and not comma:
            message = _(
                "Three digits after the only comma could be decimals or thousands. Use a decimal point, or "
                "thousands without a separator."
            )
            wrong.append(note(first["three-comma"], name, "", message))
        elif points and comma:
            message = _("Other columns use a decimal comma, this one a point. Use one style in a file.")
            wrong.append(note(points, name, "", message))
        elif "three-point" in first and not point:
            message = _(
                "Every point in this file has three digits after it. They are read as decimals (2.700 is two "
                "point seven), not thousands. Is that right?"
            )
            survey.questions.append(note(first["three-point"], name, "", message))
    if wrong:
        raise BookFileError(*wrong)
