"""When a run's temperatures are stable, and where its readings leave gaps, go back in time or jump."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from repairs.measurements.engineering.shape import Row

# Readings are compared as they are written, not as their last bit says.
HAIR = 1e-9


def out_of_order(minutes: Sequence[float | None]) -> int | None:
    """Return the first row, counted from one, whose time is missing or not after the one before; None if all are."""
    before = None
    for at, minute in enumerate(minutes, 1):
        if minute is None or (before is not None and minute <= before):
            return at
        before = minute
    return None


def gaps(minutes: Sequence[float], longest: float) -> Iterator[tuple[float, float]]:
    """Yield from when to when nothing was read for longer than ``longest`` minutes."""
    for before, after in pairwise(minutes):
        if after - before > longest + HAIR:
            yield before, after


def stable_since(
    minutes: Sequence[float], channels: Sequence[Sequence[float | None]], span: float, change: float
) -> float | None:
    """Return the minute from which on a run that is stable at its end has been so; None where it is not.

    Stable is a reading when every channel changed by at most ``change`` over the ``span`` minutes before it, and was
    read at both ends and at least that often between.
    """
    since = None
    for at in reversed(range(len(minutes))):
        if not channels or not all(_stable(minutes, one, at, span, change) for one in channels):
            break
        since = minutes[at]
    return since


def _stable(
    minutes: Sequence[float], channel: Sequence[float | None], at: int, span: float, change: float
) -> bool:
    begin = max((i for i in range(at) if minutes[i] <= minutes[at] - span + HAIR), default=None)
    if begin is None or channel[begin] is None or channel[at] is None:
        return False
    if any(gaps(minutes[begin : at + 1], span)):
        return False
    read = [value for value in channel[begin : at + 1] if value is not None]
    return max(read) - min(read) <= change + HAIR


def steps(
    minutes: Sequence[float], channel: Sequence[float | None], least: float, faster: float
) -> Iterator[tuple[float, float]]:
    """Yield minute and rise of each jump up: at least ``least``, ``faster`` times as fast as just before."""
    read = [(minute, value) for minute, value in zip(minutes, channel, strict=True) if value is not None]
    for (t0, a), (t1, b), (t2, c) in zip(read, read[1:], read[2:], strict=False):
        if c - b >= least - HAIR and (c - b) / (t2 - t1) > faster * max((b - a) / (t1 - t0), 0.0):
            yield t2, c - b


def column(rows: Sequence[Row], at: int) -> tuple[float | None, ...]:
    """Return one column of a series; a row that ends before it has none."""
    return tuple(row[at] if at < len(row) else None for row in rows)
