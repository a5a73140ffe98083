"""Single cells: numbers as they are typed, dashes, and cells that a spreadsheet would calculate."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final, Literal

DASHES: Final = frozenset("-–—−")
LONGEST_CELL: Final = 1000
_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?", re.ASCII)
# A spreadsheet calculates cells that begin so; blanks and tabs before it do not keep it from doing so.
_CALCULATED: Final = re.compile(r"[\s\0]*[=+\-@]")
# What is escaped on the way out: the same, a comment's sign, and what is escaped already.
_ESCAPED: Final = re.compile(r"'*[\s\0]*[=+\-@#–—−]")
_THREE_PLACES: Final = re.compile(r"[+-]?[0-9]{1,3}[.,][0-9]{3}", re.ASCII)
_GROUPED: Final = re.compile(
    r"[+-]?[0-9]{1,3}(?:(?:[ \u00a0\u202f\u2009'’][0-9]{3})+(?:[.,][0-9]+)?|(?:,[0-9]{3})+\.[0-9]*"
    r"|(?:\.[0-9]{3})+,[0-9]*|(?:,[0-9]{3}){2,}|(?:\.[0-9]{3}){2,})",
    re.ASCII,
)

NumberStyle = Literal["whole", "point", "comma", "three-point", "three-comma", "grouped", "other"]


def is_formula(cell: str) -> bool:
    """Whether a spreadsheet would calculate a cell; a plain signed number and a lone dash are none."""
    text = cell.strip()
    if not text or text in DASHES or not _CALCULATED.match(cell):
        return False
    return not _NUMBER.fullmatch(text.replace(",", ".", 1))


def escaped(text: str) -> str:
    """Return a text as a cell that no spreadsheet calculates and no reader takes for a comment."""
    return f"'{text}" if _ESCAPED.match(text) else text


def unescaped(cell: str) -> str:
    """Return a cell's text without the sign that kept it from being calculated."""
    return cell[1:] if cell.startswith("'") and _ESCAPED.match(cell) else cell


def number_style(text: str) -> NumberStyle:
    """Return how a cell's number is written; three figures behind its only mark may be thousands."""
    if text.lstrip("+-").isdecimal():
        return "whole"
    if _GROUPED.fullmatch(text):
        return "grouped"
    if _THREE_PLACES.fullmatch(text):
        return "three-comma" if "," in text else "three-point"
    if _NUMBER.fullmatch(text):
        return "point" if "." in text else "whole"
    if text.count(",") == 1 and "." not in text and _NUMBER.fullmatch(text.replace(",", ".")):
        return "comma"
    return "other"


def read_number(text: str, *, comma: bool) -> Decimal | None:
    """Return the number of a cell, exactly as written; None when it is none in this file's way of writing."""
    if comma:
        if "." in text:
            return None
        text = text.replace(",", ".", 1)
    return Decimal(text) if _NUMBER.fullmatch(text) else None


def written(number: float) -> str:
    """Return a stored figure with every digit that it needs to be read back equal."""
    text = repr(float(number))
    return text.removesuffix(".0")
