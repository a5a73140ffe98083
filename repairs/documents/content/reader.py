"""Whom a paper is written for, and how times, lengths and numbers look on it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from django.utils import timezone
from django.utils.formats import date_format

from bearings.public import Figures, Units, exact

DASH: Final = "–"


@dataclass(frozen=True, slots=True)
class Reader:
    """Language and units of a paper."""

    language: str = "en"
    units: Units = "si"

    @property
    def figures(self) -> Figures:
        return Figures(self.units)


# Every revision is told apart by what the paper says in this language and these units, whatever it was printed in.
CANONICAL: Final = Reader()


def moment_words(at: datetime | None) -> str:
    """Return a time in the shop's zone, to the minute."""
    return date_format(timezone.localtime(at), "DATETIME_FORMAT") if at else ""


def day_words(on: date | datetime | None) -> str:
    """Return a day."""
    if isinstance(on, datetime):
        on = timezone.localtime(on)
    return date_format(on, "DATE_FORMAT") if on else ""


def number_words(value: Decimal | None, decimals: int = 0) -> str:
    """Return a reading as exactly as it was kept, with at least so many decimals."""
    if value is None:
        return ""
    return exact(value, decimals)


def decimals_of(*values: Decimal | None) -> int:
    """Return how many decimals are needed to write every one of some numbers exactly."""
    texts = [f"{value:f}".partition(".")[2].rstrip("0") for value in values if value is not None]
    return max((len(text) for text in texts), default=0)
