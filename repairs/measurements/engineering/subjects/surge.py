"""Surge comparison of the phases: level reached, waves alike, error area ratio of each pair."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT, PLATE
from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source
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
from repairs.measurements.engineering.tables import high_potential as table

PAIRS: Final = ("ear_ab", "ear_bc", "ear_ca")
FIELDS: Final = (
    Field("state", "choice", choices=("new", "in_service"), rule=True),
    Field("wave", "choice", choices=table.WAVES, needed=False, setting=True),
    Field("peak_v", "voltage", 50, 200_000),
    Field("rotor_in", "yes_no"),
    Field("waves_match", "yes_no"),
    *(Field(code, "percent", 0, 200, needed=False) for code in PAIRS),
)
ALIKE: Final = Limit(None, 0.0, Source("IEEE 522", "", "waves superimpose", "memory"))


def level(entries: Entries, machine: Machine) -> Limit | None:
    """Return the least peak of the test. [V]"""
    state = entries.choice("state")
    if state is None or machine.voltage_v is None or machine.winding is None:
        return None
    return table.surge(machine.winding, state, entries.choice("wave"), machine.voltage_v)


def _reached(entries: Entries, limit: Limit | None) -> bool:
    peak = entries.number("peak_v")
    return peak is not None and limit is not None and limit.holds(peak)


def _unlike(entries: Entries, limit: Limit | None) -> float | None:
    """Return 1 where waves differ without a rotor that could explain it, 0 where they match at the level, else None."""
    match = entries.yes("waves_match")
    if match is False:
        return 1.0 if entries.yes("rotor_in") is False else None
    return 0.0 if match and _reached(entries, limit) else None


def _ear(entries: Entries, reached: bool) -> Result:
    """Return the largest error area ratio. A small one says nothing below the level; with a rotor in place, which
    shifts waves, a large one does not."""
    read = [value for value in (entries.number(code) for code in PAIRS) if value is not None]
    high, source = table.LARGEST_EAR
    limit = Limit(None, high, source)
    if not read:
        return Result("surge_ear", "percent", None, limit, informs=True)
    over = not limit.holds(max(read))
    value = max(read) if over or len(read) == len(PAIRS) else None
    decides = entries.yes("rotor_in") is False if over else reached
    return Result("surge_ear", "percent", value, limit if decides else None)


def _large_open(ear: Result) -> bool:
    return ear.value is not None and ear.standard is None and ear.value > table.LARGEST_EAR[0]


def _notes(entries: Entries, limit: Limit | None, ear: Result) -> Iterator[Note]:
    peak = entries.number("peak_v")
    if peak is not None and limit is not None and limit.low is not None:
        params = {"value": peak, "low": limit.low}
        if not limit.holds(peak):
            yield Note("surge_below", "warn", params, limit.source)
        elif peak > limit.low * (1 + table.SURGE_TOLERANCE):
            yield Note("surge_above", "warn", params, table.SURGE_TOLERANCE_SOURCE)
    if (entries.yes("waves_match") is False or _large_open(ear)) and entries.yes("rotor_in"):
        yield Note("rotor_shifts", "warn", {}, COMMON_PRACTICE)
    if entries.yes("waves_match") is False and entries.yes("rotor_in") is False:
        yield Note("waves_differ", "warn", {})


def _missing(entries: Entries, machine: Machine, limit: Limit | None, ear: Result) -> Iterator[Missing]:
    if entries.choice("state") is None:
        yield Missing("state", "surge_voltage")
    for name in ("voltage_v", "winding"):
        if getattr(machine, name) is None:
            yield Missing(f"machine.{name}", "surge_voltage")
    if limit is None and machine.winding == "form" and entries.choice("wave") is None:
        yield Missing("wave", "surge_voltage")
    if entries.number("peak_v") is None:
        yield Missing("peak_v", "surge_voltage")
    if entries.yes("waves_match") is None:
        yield Missing("waves_match", "surge_unlike")
    if entries.yes("rotor_in") is None:
        if entries.yes("waves_match") is not True:
            yield Missing("rotor_in", "surge_unlike")
        if _large_open(ear):
            yield Missing("rotor_in", "surge_ear")
    known = [code for code in PAIRS if entries.number(code) is not None]
    if known and ear.value is None:
        yield from (Missing(code, "surge_ear") for code in PAIRS if code not in known)


def _working(entries: Entries, machine: Machine, limit: Limit | None) -> Iterator[Working]:
    yield Working("E", "given", machine.voltage_v, "V", PLATE)
    if limit is not None and machine.voltage_v is not None:
        wave, share = entries.choice("wave"), "" if entries.choice("state") == "new" else "0.75 "
        if machine.winding == "random":
            formula = "2 E + 1000"
        elif wave == "iec_steep":
            formula = "0.65 (4 E + 5000)"
        else:
            yield Working("pu", "√(2/3) E", table.per_unit_v(machine.voltage_v), "V", table.PER_UNIT_SOURCE)
            yield Working("k", "by the wave front", table.PER_UNIT[wave or ""], "", table.PER_UNIT_SOURCE)
            formula = f"{share}k pu"
        yield Working("U level", formula, limit.low, "V", limit.source)
    yield Working("U peak", "given", entries.number("peak_v"), "V", INPUT)
    for code, symbol in zip(PAIRS, ("EAR ab", "EAR bc", "EAR ca"), strict=True):
        if entries.number(code) is not None:
            yield Working(symbol, "given", entries.number(code), "%", INPUT)


def _look(entries: Entries, machine: Machine) -> Answer:
    limit, peak = level(entries, machine), entries.number("peak_v")
    ear = _ear(entries, _reached(entries, limit))
    below = limit is not None and peak is not None and not limit.holds(peak)
    results = (
        Result("surge_voltage", "voltage", None if below else peak, limit),
        Result("surge_unlike", "plain", _unlike(entries, limit), ALIKE),
        ear,
    )
    return Answer(
        results,
        tuple(_notes(entries, limit, ear)),
        tuple(_missing(entries, machine, limit, ear)),
        tuple(_working(entries, machine, limit)),
    )


SUBJECT = Subject(
    code="surge",
    fields=FIELDS,
    results={"surge_voltage": "voltage", "surge_unlike": "plain", "surge_ear": "percent"},
    look=_look,
)
