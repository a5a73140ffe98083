"""Oven chart: highest temperature of the part, time at or above the set temperature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT
from repairs.measurements.engineering.limits import ARITHMETIC, COMMON_PRACTICE, Limit
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Note,
    Result,
    Row,
    Subject,
    Working,
)
from repairs.measurements.engineering.tables import core as table

FIELDS: Final = (
    Field("purpose", "choice", choices=table.PURPOSES, setting=True),
    Field("set_c", "temperature", 30, 500, needed=False, rule=True),
    Field("hold_min", "minutes", 1, 10_000, needed=False, rule=True),
    Field(
        "chart",
        "series",
        columns=(Field("at_min", "minutes", 0, 100_000), Field("part_c", "temperature", -20, 700)),
    ),
)
# What is burnt off or baked needs its time; of drying and baking it is the test.
TIMED: Final = frozenset({"drying", "bake"})


def _points(rows: Sequence[Row]) -> list[tuple[float, float]]:
    return [(row[0], row[1]) for row in rows if len(row) > 1 and row[0] is not None and row[1] is not None]


def faults(rows: Sequence[Row]) -> Iterator[Note]:
    """Yield what makes a chart no proof: an empty cell, a time that does not go forward, a gap."""
    points = _points(rows)
    if len(points) < len(rows):
        place = next(place for place, row in enumerate(rows, start=1) if len(row) < 2 or None in row[:2])
        yield Note("row_incomplete", "warn", {"place": place})
    steps = [(after[0] - before[0], before[0], after[0]) for before, after in pairwise(points)]
    back = next((one for one in steps if one[0] <= 0), None)
    if back is not None:
        yield Note("time_goes_back", "warn", {"before": back[1], "after": back[2]})
        return
    usual = median(one[0] for one in steps) if steps else 0.0
    longest = max(steps, default=None)
    if longest is not None and longest[0] > table.GAP_TIMES * usual:
        params = {"from": longest[1], "to": longest[2], "usual": usual}
        yield Note("chart_has_gap", "warn", params, COMMON_PRACTICE)


def longest_hold(points: Sequence[tuple[float, float]], set_c: float) -> float:
    """Return the longest unbroken time at or above a temperature; between two readings only where both are. [min]"""
    longest, since = 0.0, None
    for at_min, part_c in points:
        if part_c < set_c:
            since = None
            continue
        since = at_min if since is None else since
        longest = max(longest, at_min - since)
    return longest


def _peak(entries: Entries, sound: bool) -> Result:
    """Return the highest reading. A chart with faults proves no low one, but a high one all the same."""
    limit = table.HIGHEST_PART_C.get(entries.choice("purpose") or "")
    highest = max((part_c for _, part_c in _points(entries.series("chart"))), default=None)
    over = highest is not None and limit is not None and not limit.holds(highest)
    return Result("oven_peak", "temperature", highest if sound or over else None, limit)


def _hold(entries: Entries, sound: bool) -> Result:
    set_c, hold = entries.number("set_c"), entries.number("hold_min")
    points = _points(entries.series("chart"))
    value = longest_hold(points, set_c) if sound and set_c is not None else None
    limit = None if hold is None else Limit(hold, None, INPUT, "shop")
    informs = hold is None and entries.choice("purpose") not in (*TIMED, None)
    return Result("oven_hold", "minutes", value, limit, informs=informs)


def _missing(entries: Entries) -> Iterator[Missing]:
    purpose, points = entries.choice("purpose"), _points(entries.series("chart"))
    if purpose is None:
        yield Missing("purpose", "oven_peak")
    if len(points) < 2:
        yield Missing("chart", "oven_peak")
    if purpose in TIMED or entries.number("hold_min") is not None:
        for code in ("set_c", "hold_min"):
            if entries.number(code) is None:
                yield Missing(code, "oven_hold")


def _working(entries: Entries) -> Iterator[Working]:
    points, set_c = _points(entries.series("chart")), entries.number("set_c")
    yield Working("readings", "count", float(len(points)), "", INPUT)
    yield Working(
        "T highest", "highest reading", max((one for _, one in points), default=None), "°C", ARITHMETIC
    )
    yield Working("T set", "given", set_c, "°C", INPUT)
    held = None if set_c is None else longest_hold(points, set_c)
    yield Working("t hold", "longest unbroken time with readings at or above T set", held, "min", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    rows = entries.series("chart")
    notes = tuple(faults(rows))
    sound = not notes and len(rows) > 1
    results = (_peak(entries, sound), _hold(entries, sound))
    return Answer(results, notes, tuple(_missing(entries)), tuple(_working(entries)))


SUBJECT = Subject(
    code="oven",
    fields=FIELDS,
    results={"oven_peak": "temperature", "oven_hold": "minutes"},
    look=_look,
)
