"""What happened to a job, as its page lists it: by the time of making, and when it arrived."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any, Protocol

from django.utils.translation import gettext as _

from repairs.ledger.models import made_at_of
from repairs.office.event_words import event_words
from repairs.work_orders.entry_origin import CLOCKS_APART


class WritesMoments(Protocol):
    """Writes a moment in the shop's time."""

    def at(self, moment: datetime | None) -> str: ...

    def day(self, day: date) -> str: ...


def event_rows(events: Iterable[tuple[Any, ...]], moments: WritesMoments) -> list[tuple[str, str, str]]:
    """Return events as ``job_reading`` reads them in words: when, who, what."""
    return [
        (
            moments.at(made_at_of(after) or at),
            who,
            _with_arrival(event_words(verb, before, after, reason, moments.day), after, at, moments),
        )
        for _pk, at, who, verb, before, after, reason in events
    ]


def _with_arrival(words: str, after: Mapping[str, Any] | None, at: datetime, moments: WritesMoments) -> str:
    """Say also when an entry arrived that was made over two minutes before."""
    made = made_at_of(after)
    if made is None or abs(at - made) <= CLOCKS_APART:
        return words
    return _("{words} (arrived {at})").format(words=words, at=moments.at(at))
