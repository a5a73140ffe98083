"""Air gap at four places of each end: greatest deviation from the mean."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.limits import ARITHMETIC, ENTERED, Limit
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Note,
    Result,
    Subject,
    Working,
)
from repairs.measurements.engineering.tables import air_gap as table

ENDS: Final = ("top", "low")
PLACES: Final = (0, 90, 180, 270)
# Feeler gauges do not go further; a motor of this trade has less.
MILS_TYPED_FROM_MM: Final = 12.7
FIELDS: Final = tuple(Field(f"gap_{end}_{at}", "small_length", 0, 250) for end in ENDS for at in PLACES)


def _codes(end: str) -> tuple[str, ...]:
    return tuple(f"gap_{end}_{at}" for at in PLACES)


def deviation(readings: tuple[float, ...]) -> float | None:
    """Return the greatest deviation from the mean in percent of the mean; None where there is no gap at all."""
    mean = sum(readings) / len(readings)
    return None if mean <= 0 else 100 * max(abs(one - mean) for one in readings) / mean


def poles_of(machine: Machine) -> int | None:
    """Return the poles, from the plate or from the synchronous speed just above the rated one."""
    if machine.poles is not None or not machine.frequency_hz or not machine.speed_rpm:
        return machine.poles
    return max(2 * int(60 * machine.frequency_hz / machine.speed_rpm), 2)


def _limit(machine: Machine, value: float | None) -> Limit | None:
    """Return the limit. Of unknown poles only what both limits agree on is judged."""
    poles = poles_of(machine)
    if poles is not None:
        return table.TWO_POLES if poles == 2 else table.USUAL
    if value is None:
        return None
    if table.TWO_POLES.holds(value):
        return table.TWO_POLES
    return None if table.USUAL.holds(value) else table.USUAL


def _notes(entries: Entries) -> Iterator[Note]:
    for end in ENDS:
        for code in _codes(end):
            value = entries.number(code)
            if value is not None and value > MILS_TYPED_FROM_MM:
                yield Note("mils_typed", "doubt", {"field": code, "value": value, "as_mm": value / 1000})
            if value == 0:
                yield Note("no_gap", "warn", {"field": code})


def _missing(entries: Entries, machine: Machine, results: tuple[Result, ...]) -> Iterator[Missing]:
    for end, result in zip(ENDS, results, strict=True):
        for code in _codes(end):
            if entries.number(code) is None:
                yield Missing(code, result.code)
        if poles_of(machine) is None and result.standard is None:
            yield Missing("machine.poles", result.code)


def _working(entries: Entries, results: tuple[Result, ...]) -> Iterator[Working]:
    for end, result in zip(ENDS, results, strict=True):
        readings = entries.numbers(*_codes(end))
        if readings is not None:
            for at, value in zip(PLACES, readings, strict=True):
                yield Working(f"g {at}", "given", value, "mm", ENTERED)
            yield Working("g mean", "sum g / 4", sum(readings) / 4, "mm", ARITHMETIC)
            yield Working("deviation", "100 max |g - g mean| / g mean", result.value, "%", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    results = []
    for end in ENDS:
        readings = entries.numbers(*_codes(end))
        value = None if readings is None else deviation(readings)
        results.append(Result(f"air_gap_{end}", "percent", value, _limit(machine, value)))
    found = tuple(results)
    return Answer(
        found,
        tuple(_notes(entries)),
        tuple(_missing(entries, machine, found)),
        tuple(_working(entries, found)),
    )


SUBJECT: Final = Subject("air_gap", FIELDS, {f"air_gap_{end}": "percent" for end in ENDS}, _look)
