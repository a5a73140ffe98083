"""The second reading of a rating file: each line as the book's fields, or what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import BinaryIO, Final

from django.utils.translation import gettext as _

from bearings.book_file.cells import DASHES, LONGEST_CELL, is_formula, number_style, read_number, unescaped
from bearings.book_file.columns import Column
from bearings.book_file.lines import SEPARATORS, rows
from bearings.book_file.mistakes import LineNote, note
from bearings.book_file.survey import UNITS_LINE, Survey, is_left_aside
from bearings.wording.figures import grouped, range_end, sign_of

_SEPARATOR_NAMES: Final = {",": "comma", ";": "semicolon", "\t": "tab"}


@dataclass(slots=True)
class FileLine:
    """One line of a file in the book's fields; what its columns do not say is absent."""

    number: int
    texts: dict[str, str] = field(default_factory=dict)
    figures: dict[str, float | int | str] = field(default_factory=dict)
    not_printed: list[str] = field(default_factory=list)
    wrong: list[LineNote] = field(default_factory=list)

    def refuse(self, column: str, value: str, message: str) -> None:
        """Remember what is wrong with a cell."""
        self.wrong.append(note(self.number, column, value, message))


def file_lines(file: BinaryIO, survey: Survey) -> Iterator[FileLine]:
    """Yield the lines of a surveyed file; blank rows and comments are left aside."""
    for number, cells in rows(file, survey.separator):
        if number > UNITS_LINE and not is_left_aside(cells):
            yield _line(number, cells, survey)


def _line(number: int, cells: list[str], survey: Survey) -> FileLine:
    line = FileLine(number)
    columns = survey.columns
    if len(cells) < len(columns) or any(cell.strip() for cell in cells[len(columns) :]):
        line.refuse("", "", _ragged(cells, survey))
        return line
    for column, cell in zip(columns, cells, strict=False):
        if cell and not _refused(line, column, cell):
            _take(line, column, cell.strip(), survey)
    return line


def _ragged(cells: list[str], survey: Survey) -> str:
    text = _("Line has %(found)s cells; the header has %(wanted)s columns.") % {
        "found": grouped(len(cells)),
        "wanted": grouped(len(survey.columns)),
    }
    other = max(SEPARATORS, key=lambda one: sum(cell.count(one) for cell in cells))
    if len(cells) == 1 and other != survey.separator and other in cells[0]:
        names = {"found": _SEPARATOR_NAMES[other], "wanted": _SEPARATOR_NAMES[survey.separator]}
        other_mark = _("The separator here looks like a %(found)s; in the header it is a %(wanted)s.")
        return f"{text} {other_mark % names}"
    quoted = _(
        "Accepted: as many cells as the header; put text that contains the separator in quotation marks."
    )
    return f"{text} {quoted}"


def _refused(line: FileLine, column: Column, cell: str) -> bool:
    """Refuse a cell that is too long or that a spreadsheet would calculate."""
    if len(cell) > LONGEST_CELL:
        words = {"found": grouped(len(cell)), "most": grouped(LONGEST_CELL)}
        line.refuse(
            column.name,
            cell,
            _("Cell has %(found)s characters. Accepted: at most %(most)s.") % words,
        )
        return True
    if is_formula(cell):
        message = _(
            "Cell starts with =, +, - or @; a spreadsheet would calculate it. Enter plain text or a number, or "
            "put an apostrophe in front."
        )
        line.refuse(column.name, cell, message)
        return True
    return False


def _take(line: FileLine, column: Column, text: str, survey: Survey) -> None:
    if column.spec is None:
        line.texts[column.field] = "" if text in DASHES else unescaped(text)
    elif text in DASHES:
        line.not_printed.append(column.field)
    elif text and not column.numeric:
        line.figures[column.field] = unescaped(text).lower()
    elif text:
        _take_number(line, column, text, survey)


def _take_number(line: FileLine, column: Column, text: str, survey: Survey) -> None:
    number = read_number(text, comma=survey.comma)
    if number is None:
        line.refuse(column.name, text, f"{_not_a_number(text)} {accepted_in(column, survey)}")
        return
    value, spec = survey.scales[column.name].read(number), column.spec
    low, high = (spec.minimum, spec.maximum) if spec else (None, None)
    if (low is not None and value < low) or (high is not None and value > high):
        message = _("Number is out of range. %(accepted)s") % {"accepted": accepted_in(column, survey)}
        line.refuse(column.name, text, message)
        return
    whole = spec is not None and spec.kind == "integer" and value.is_integer()
    line.figures[column.field] = int(value) if whole else value


def accepted_in(column: Column, survey: Survey) -> str:
    """Return what a column accepts, in the unit that the file gives it."""
    spec = column.spec
    if spec is None or spec.minimum is None or spec.maximum is None:
        return ""
    scale = survey.scales[column.name]
    words = {
        "low": range_end(scale.shown(spec.minimum), is_low=True),
        "high": range_end(scale.shown(spec.maximum), is_low=False),
        "unit": sign_of(survey.units.get(column.name, "")),
    }
    if spec.kind == "integer":
        return _("Accepted: a whole number from %(low)s to %(high)s.") % words
    return (_("Accepted: a number from %(low)s to %(high)s %(unit)s") % words).rstrip() + "."


def _not_a_number(text: str) -> str:
    style = number_style(text)
    if style in {"grouped", "three-comma"}:
        return _("Write thousands without a separator.")
    if style == "comma":
        return _("Use a decimal point. A decimal comma is accepted only in files not separated by commas.")
    return _("Enter a number. The unit goes in the second line; a dash means “not printed”.")
