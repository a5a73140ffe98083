"""Temperature of a winding by its resistance, and its rise over the ambient against the class."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT, PLATE
from repairs.measurements.engineering.limits import Limit
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
from repairs.measurements.engineering.tables import resistance as table

NUMBERS: Final = ("cold_ohm", "cold_c", "hot_ohm")
FIELDS: Final = (
    Field("cold_ohm", "resistance", 1e-6, 1e6),
    Field("cold_c", "temperature", -20, 60),
    Field("hot_ohm", "resistance", 1e-6, 1e6),
    Field("ambient_c", "temperature", -20, 60),
    Field("conductor", "choice", choices=tuple(table.CONDUCTORS), setting=True),
    Field("full_load", "yes_no"),
    Field("rise_class", "choice", choices=tuple(table.RISES), needed=False, rule=True),
    Field("seconds_after_off", "seconds", 0, 3600, needed=False),
)


def highest_rise(thermal_class: str, with_factor: bool, ambient_c: float | None) -> Limit | None:
    """Return the highest rise of a class; above 40 °C rated ambient it is as much lower. [K]"""
    rises = table.RISES_WITH_FACTOR if with_factor else table.RISES
    rise = rises.get(thermal_class)
    if rise is None:
        return None
    hotter = max((ambient_c or table.USUAL_AMBIENT_C) - table.USUAL_AMBIENT_C, 0)
    return Limit(None, rise - hotter, table.RISE_SOURCE)


def _class(entries: Entries, machine: Machine) -> str:
    """Return the class that the rise is held to: the one chosen, else the insulation's."""
    return entries.choice("rise_class") or (machine.insulation_class or "").strip().upper()[:1]


def _limit(entries: Entries, machine: Machine, rise: float | None) -> Limit | None:
    """Return the limit of a rise; of no known service factor both rows must agree, between them there is none."""
    factor, thermal_class = machine.service_factor, _class(entries, machine)
    if factor is not None:
        return highest_rise(thermal_class, factor >= table.FACTOR_FROM, machine.ambient_c)
    strict = highest_rise(thermal_class, False, machine.ambient_c)
    wide = highest_rise(thermal_class, True, machine.ambient_c)
    if strict is None or rise is None:
        return None
    if strict.holds(rise):
        return strict
    return None if wide is None or wide.holds(rise) else wide


def _judged_by(entries: Entries, limit: Limit | None, rise: float | None) -> Limit | None:
    """Return the limit where it says something: at less than rated load a rise within it is no pass."""
    within = limit is not None and rise is not None and limit.holds(rise)
    return None if within and entries.yes("full_load") is not True else limit


def _hot_c(entries: Entries) -> float | None:
    read, conductor = entries.numbers(*NUMBERS), entries.choice("conductor")
    if read is None or conductor is None:
        return None
    cold_ohm, cold_c, hot_ohm = read
    return table.temperature_by_resistance(cold_ohm, cold_c, hot_ohm, conductor)


def _factor_decides(entries: Entries, machine: Machine, rise: float | None) -> bool:
    known = rise is not None and _class(entries, machine) in table.RISES
    return known and machine.service_factor is None and _limit(entries, machine, rise) is None


def _notes(entries: Entries, machine: Machine, rise: float | None) -> Iterator[Note]:
    cold, hot = entries.number("cold_ohm"), entries.number("hot_ohm")
    if cold is not None and hot is not None and hot < cold:
        yield Note("hot_below_cold", "doubt", {"cold_ohm": cold, "hot_ohm": hot})
    if entries.yes("full_load") is False and rise is not None:
        yield Note("not_full_load", "note", {})
    if _factor_decides(entries, machine, rise):
        yield Note("factor_decides", "note", {})
    late, power = entries.number("seconds_after_off"), machine.power_w
    if late is not None and power is not None:
        most = next((seconds for up_to, seconds in table.FIRST_READING if power <= up_to), inf)
        if late > most:
            params = {"value": late, "most": most}
            yield Note("reading_late", "warn", params, table.FIRST_READING_SOURCE)


def _missing(entries: Entries, machine: Machine, rise: float | None) -> Iterator[Missing]:
    for code in (*NUMBERS, "ambient_c"):
        if entries.number(code) is None:
            yield Missing(code, "temperature_rise")
    if entries.choice("conductor") is None:
        yield Missing("conductor", "temperature_rise")
    if not _class(entries, machine):
        yield Missing("machine.insulation_class", "temperature_rise")
    if rise is None:
        return
    if entries.yes("full_load") is None:
        yield Missing("full_load", "temperature_rise")
    if _factor_decides(entries, machine, rise):
        yield Missing("machine.service_factor", "temperature_rise")


def _working(
    entries: Entries, machine: Machine, hot_c: float | None, rise: float | None
) -> Iterator[Working]:
    for code, symbol, unit in (("cold_ohm", "Rc", "Ω"), ("cold_c", "Tc", "°C"), ("hot_ohm", "Rh", "Ω")):
        yield Working(symbol, "given", entries.number(code), unit, INPUT)
    conductor = entries.choice("conductor")
    if conductor is not None:
        yield Working("k", conductor, table.CONDUCTORS[conductor], "°C", table.CONDUCTOR_SOURCE)
    yield Working("T", "Rh / Rc (k + Tc) - k", hot_c, "°C", table.CONDUCTOR_SOURCE)
    yield Working("Ta", "given", entries.number("ambient_c"), "°C", INPUT)
    yield Working("rise", "T - Ta", rise, "K", table.CONDUCTOR_SOURCE)
    yield Working("SF", "given", machine.service_factor, "", PLATE)
    rated = machine.ambient_c
    formula = "given" if rated is not None else "not on the plate: 40 °C"
    yield Working(
        "ambient", formula, rated if rated is not None else table.USUAL_AMBIENT_C, "°C", table.RISE_SOURCE
    )


def _look(entries: Entries, machine: Machine) -> Answer:
    hot_c, ambient = _hot_c(entries), entries.number("ambient_c")
    rise = None if hot_c is None or ambient is None else hot_c - ambient
    limit = _judged_by(entries, _limit(entries, machine, rise), rise)
    results = (
        Result("temperature_rise", "temperature_difference", rise, limit),
        Result("hot_temperature", "temperature", hot_c, informs=True),
    )
    return Answer(
        results,
        tuple(_notes(entries, machine, rise)),
        tuple(_missing(entries, machine, rise)),
        tuple(_working(entries, machine, hot_c, rise)),
    )


SUBJECT = Subject(
    code="hot_resistance",
    fields=FIELDS,
    results={"temperature_rise": "temperature_difference", "hot_temperature": "temperature"},
    look=_look,
)
