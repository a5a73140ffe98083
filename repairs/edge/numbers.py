"""The one reader of whole numbers that a request brings: row keys, versions, revisions, places in a list."""

from __future__ import annotations

from typing import Final

# What a key column of both databases holds (64 bits), and what their plain whole-number columns hold (32 bits).
MOST_KEY: Final = 2**63 - 1
MOST_COUNT: Final = 2**31 - 1


def whole_number(text: object, *, most: int = MOST_COUNT) -> int | None:
    """Return the number from 0 to ``most`` that a text writes in plain digits 0-9, or None where it writes none.

    Signs, blanks, separators and the digits of other scripts are no number here: only a hand that forges a form
    sends those. The length is looked at first, for reading thousands of digits takes long and is refused by Python.
    """
    if not isinstance(text, str) or not text.isascii() or not text.isdigit() or len(text) > len(str(most)):
        return None
    number = int(text)
    return number if number <= most else None


def row_key(text: object) -> int:
    """Return the key of a row that a form names; 0, which no row has, where it names none."""
    return whole_number(text, most=MOST_KEY) or 0


def version_of(text: object) -> int:
    """Return the version that a form was rendered from; -1, which no row has, where it names none."""
    number = whole_number(text)
    return -1 if number is None else number
