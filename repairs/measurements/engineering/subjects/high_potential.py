"""High-potential test to ground: the right level, reached, held for a minute, without breakdown."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT, PLATE
from repairs.measurements.engineering.limits import Limit, Source
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

FIELDS: Final = (
    Field("category", "choice", choices=table.CATEGORIES, rule=True),
    Field("current", "choice", choices=("ac", "dc"), setting=True),
    Field("agreed_v", "voltage", 100, 200_000, needed=False, rule=True),
    Field("applied_v", "voltage", 100, 200_000),
    Field("seconds", "seconds", 0, 3600),
    Field("leakage_ua", "leakage", 0, 1e6, needed=False),
    Field("outcome", "choice", choices=("held", "broke_down")),
)
NO_BREAKDOWN: Final = Limit(None, 0.0, Source("high-potential test", "", "no breakdown"))


def _published(entries: Entries, machine: Machine) -> Limit | None:
    category, current = entries.choice("category"), entries.choice("current")
    if category is None or current is None:
        return None
    return table.high_potential(category, current, machine.voltage_v)


def level(entries: Entries, machine: Machine) -> Limit | None:
    """Return the level of the test: the one agreed with the customer, else the published one. [V]"""
    agreed = entries.number("agreed_v")
    if agreed is not None:
        return Limit(agreed, agreed, INPUT, "customer")
    return _published(entries, machine)


def _reached(limit: Limit | None, applied: float | None) -> bool:
    return applied is not None and limit is not None and limit._replace(high=None).holds(applied)


def _full(entries: Entries, limit: Limit | None) -> bool:
    """Whether the voltage stood at its level or above it for a minute."""
    seconds = entries.number("seconds")
    return _reached(limit, entries.number("applied_v")) and (seconds or 0) >= table.LEAST_SECONDS


def _breakdowns(entries: Entries, limit: Limit | None) -> float | None:
    """Return 1 after a breakdown at whatever voltage, 0 where the whole test held, else None."""
    outcome = entries.choice("outcome")
    if outcome == "broke_down":
        return 1.0
    return 0.0 if outcome == "held" and _full(entries, limit) else None


def _notes(entries: Entries, machine: Machine, limit: Limit | None) -> Iterator[Note]:
    applied, seconds = entries.number("applied_v"), entries.number("seconds")
    if limit is not None and applied is not None:
        params = {"value": applied, "low": limit.low, "high": limit.high}
        if not limit._replace(low=None).holds(applied):
            yield Note("level_exceeded", "stop", params, limit.source)
        elif not _reached(limit, applied) and entries.choice("outcome") != "broke_down":
            yield Note("level_not_reached", "warn", params, limit.source)
    if seconds is not None and seconds < table.LEAST_SECONDS and entries.choice("outcome") != "broke_down":
        yield Note("too_short", "warn", {"value": seconds, "least": table.LEAST_SECONDS}, table.NEW_SOURCE)
    if entries.choice("outcome") == "broke_down":
        yield Note("broke_down", "warn", {"value": applied})
    published, agreed = _published(entries, machine), entries.number("agreed_v")
    if published is not None and agreed is not None and not published._replace(low=None).holds(agreed):
        yield Note("agreed_above", "warn", {"value": agreed, "high": published.high}, published.source)


def _missing(entries: Entries, machine: Machine, limit: Limit | None) -> Iterator[Missing]:
    if limit is None:
        for code in ("category", "current"):
            if entries.choice(code) is None:
                yield Missing(code, "hipot_voltage")
        if machine.voltage_v is None and entries.choice("category") != "accessory":
            yield Missing("machine.voltage_v", "hipot_voltage")
    for code in ("applied_v", "seconds"):
        if entries.number(code) is None:
            yield Missing(code, "hipot_voltage")
    if entries.choice("outcome") is None:
        yield Missing("outcome", "hipot_breakdowns")


def _working(entries: Entries, machine: Machine, limit: Limit | None) -> Iterator[Working]:
    category, current = entries.choice("category"), entries.choice("current")
    if category != "accessory":
        yield Working("E", "given", machine.voltage_v, "V", PLATE)
    if limit is not None:
        factor = " 1.7" if current == "dc" else ""
        formulas = {
            "accessory": "by table",
            "in_service": f"1.25 E{factor} to 1.5 E{factor}",
            "new": f"(2 E + 1000){factor}",
            "rewound": f"0.8 (2 E + 1000){factor}",
            "reconditioned": f"0.65 (2 E + 1000){factor}",
        }
        agreed = entries.number("agreed_v") is not None
        formula = "agreed" if agreed else formulas[category or "accessory"]
        yield Working("U low", formula, limit.low, "V", limit.source)
        yield Working("U high", formula, limit.high, "V", limit.source)
    yield Working("U", "given", entries.number("applied_v"), "V", INPUT)
    yield Working("t", "given", entries.number("seconds"), "s", INPUT)


def _look(entries: Entries, machine: Machine) -> Answer:
    limit, applied = level(entries, machine), entries.number("applied_v")
    over = limit is not None and applied is not None and not limit._replace(low=None).holds(applied)
    value = applied if over or _full(entries, limit) else None
    results = (
        Result("hipot_voltage", "voltage", value, limit),
        Result("hipot_breakdowns", "plain", _breakdowns(entries, limit), NO_BREAKDOWN),
        Result("hipot_leakage", "leakage", entries.number("leakage_ua"), informs=True),
    )
    return Answer(
        results,
        tuple(_notes(entries, machine, limit)),
        tuple(_missing(entries, machine, limit)),
        tuple(_working(entries, machine, limit)),
    )


SUBJECT = Subject(
    code="high_potential",
    fields=FIELDS,
    results={"hipot_voltage": "voltage", "hipot_breakdowns": "plain", "hipot_leakage": "leakage"},
    look=_look,
)
