"""Count tries before they are compared, and hold whoever tried too often: for a time that ends, whatever goes on.

The clock is the wall's, because several processes share the rows. It may jump: no wait is ever longer than the
limit's own, and a clock set back starts the running time anew instead of shutting anything until it has caught up.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil
from typing import Final

from django.db import transaction

from repairs.people.models import TryCount

FORGOTTEN_AFTER: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """``most`` tries within ``window``; then held for ``window``, in which one try each ``lane`` passes, if at all.

    A lane keeps a limit that many people share from shutting all of them out because of one.
    """

    kind: str
    most: int
    window: timedelta
    lane: timedelta | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What one try counts against: a limit, by which key, for which account."""

    limit: Limit
    key: str
    account: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """A try that may be compared. ``by_lane`` are those that did not raise a number."""

    counted: tuple[Counted, ...]
    by_lane: frozenset[Counted]


@dataclass(frozen=True, slots=True)
class Held:
    """A try that may not be compared: how long to wait, and which limit asks for it."""

    seconds: int
    kind: str


@transaction.atomic
def take_try(tries: Iterable[Counted], now: datetime) -> Taken | Held:
    """Count one try against each limit, or say how long to wait; a try that has to wait counts nowhere.

    Rows are locked in one order, so of many tries at once no more pass than the limits allow.
    """
    ordered = sorted(tries, key=lambda one: (one.limit.kind, one.key))
    rows = [(one, _locked(one, now)) for one in ordered]
    waits = [Held(_wait_seconds(one.limit, row, now), one.limit.kind) for one, row in rows]
    longest = max(waits, key=lambda held: held.seconds, default=Held(0, ""))
    if longest.seconds:
        return longest
    by_lane = frozenset(one for one, row in rows if row.held_until is not None)
    for one, row in rows:
        _count(one.limit, row, now)
    return Taken(tuple(ordered), by_lane)


@transaction.atomic
def give_back(taken: Taken, forget: Iterable[Limit] = ()) -> None:
    """Take a try that was right off its counts again; rows of the limits to ``forget`` go altogether."""
    forgotten = {limit.kind for limit in forget}
    for one in taken.counted:
        row = TryCount.objects.select_for_update().filter(kind=one.limit.kind, key=one.key).first()
        if row is None:
            continue
        if one.limit.kind in forgotten:
            row.delete()
        elif one not in taken.by_lane:
            row.tries = max(0, row.tries - 1)
            if row.tries < one.limit.most:
                row.held_until = row.next_at = None
            row.save()


def _locked(one: Counted, now: datetime) -> TryCount:
    start = {"account": one.account, "since": now, "touched_at": now}
    _row, is_new = TryCount.objects.get_or_create(kind=one.limit.kind, key=one.key, defaults=start)
    if is_new:
        TryCount.objects.filter(touched_at__lt=now - FORGOTTEN_AFTER).delete()
    row = TryCount.objects.select_for_update().get(kind=one.limit.kind, key=one.key)
    if _settle(one.limit, row, now):
        row.save()
    return row


def _settle(limit: Limit, row: TryCount, now: datetime) -> bool:
    """Begin anew what is over, and cut what a clock that was set back left in the future to its full time from now."""
    changed = False
    if row.touched_at > now:
        row.since = row.touched_at = now
        row.held_until = row.held_until and min(row.held_until, now + limit.window)
        row.next_at = row.next_at and min(row.next_at, now + (limit.lane or limit.window))
        changed = True
    if now >= (row.held_until or row.since + limit.window):
        row.tries, row.since, row.held_until, row.next_at = 0, now, None, None
        changed = True
    return changed


def _wait_seconds(limit: Limit, row: TryCount, now: datetime) -> int:
    if row.held_until is None:
        return 0
    until = (row.next_at or now) if limit.lane is not None else row.held_until
    return max(0, ceil((until - now).total_seconds()))


def _count(limit: Limit, row: TryCount, now: datetime) -> None:
    if row.held_until is None:
        row.tries += 1
        if row.tries >= limit.most:
            row.held_until = now + limit.window
    if row.held_until is not None and limit.lane is not None:
        row.next_at = now + limit.lane
    row.touched_at = now
    row.save()
