"""Insulation resistance to ground: one minute corrected to 40 °C, polarization index, absorption ratio."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

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
from repairs.measurements.engineering.tables import insulation as table

INPUT: Final = Source("entered", sureness="entered")
# No megohmmeter of a shop reads beyond this; somebody typed ohms.
OHMS_TYPED_FROM_MOHM: Final = 1e6
FIELDS: Final = (
    Field("method", "choice", choices=("ten_degree", "thermosetting"), needed=False, rule=True),
    Field("test_voltage_v", "voltage", 50, 20_000, needed=False),
    Field("winding_c", "temperature", -20, 150),
    Field("r_30s", "insulation", 0, 1e12, needed=False, more=True),
    Field("r_1min", "insulation", 0, 1e12),
    Field("r_10min", "insulation", 0, 1e12, needed=False),
    Field("humidity_percent", "percent", 0, 100, needed=False, more=True),
)


def least_resistance(machine: Machine) -> Limit | None:
    """Return the least resistance after one minute at 40 °C for a motor; None while its voltage is not known. [MΩ]

    What is not said takes the stricter row: of no known year a winding counts as new, from 1 kV on as form wound.
    """
    if machine.voltage_v is None:
        return None
    form = machine.winding == "form" or (machine.winding is None and machine.voltage_v >= table.LOW_VOLTAGE_V)
    if machine.voltage_v < table.LOW_VOLTAGE_V or not form:
        low, source = table.MINIMUM_RANDOM
    elif machine.year is not None and machine.year < table.OLD_BEFORE_YEAR:
        low, source = machine.voltage_v / 1000 + 1, table.MINIMUM_OLD
    else:
        low, source = table.MINIMUM_FORM
    return Limit(low, None, source)


def corrected(resistance_mohm: float, winding_c: float, method: str) -> float | None:
    """Return a resistance at 40 °C by one of the two methods; None where the method has no factor. [MΩ]"""
    factor = (
        table.ten_degree_factor(winding_c)
        if method == "ten_degree"
        else table.thermosetting_factor(winding_c)
    )
    return None if factor is None else resistance_mohm * factor


def _at_40(entries: Entries, limit: Limit | None) -> tuple[float | None, list[Note]]:
    """Return the corrected resistance and what the other method says. Without a method both must agree."""
    read, at_c, method = entries.number("r_1min"), entries.number("winding_c"), entries.choice("method")
    if read is None or at_c is None:
        return None, []
    both = {name: corrected(read, at_c, name) for name in ("ten_degree", "thermosetting")}
    verdicts = {
        name: None if value is None or limit is None else limit.holds(value) for name, value in both.items()
    }
    differ = limit is not None and len(set(verdicts.values())) > 1
    if method is None:
        known = [value for value in both.values() if value is not None]
        notes = [Note("method_decides", "note", {**both})] if differ else []
        return (None if differ or len(known) < len(both) else min(known)), notes
    other = "thermosetting" if method == "ten_degree" else "ten_degree"
    notes = []
    if both[method] is None:
        notes.append(Note("no_factor", "note", {"winding_c": at_c}, table.THERMOSETTING_SOURCE))
    elif differ and both[other] is not None:
        notes.append(Note("other_method_differs", "note", {"method": other, "value": both[other]}))
    return both[method], notes


def _index(entries: Entries, machine: Machine) -> Result:
    pair = entries.numbers("r_1min", "r_10min")
    value = pair[1] / pair[0] if pair and pair[0] > 0 else None
    least = table.LEAST_INDEX.get((machine.insulation_class or "").strip().upper()[:1])
    limit = None if least is None else Limit(least, None, table.INDEX_SOURCE)
    # Flat on random windings, and meaningless where the first reading is very high already.
    informs = machine.winding == "random" or (pair is not None and pair[0] > table.INDEX_MEANINGLESS_MOHM)
    return Result(
        "polarization_index", "ratio", value, None if informs else limit, informs=informs or pair is None
    )


def _absorption(entries: Entries) -> Result:
    pair = entries.numbers("r_30s", "r_1min")
    value = pair[1] / pair[0] if pair and pair[0] > 0 else None
    low, source = table.LEAST_ABSORPTION
    return Result("absorption_ratio", "ratio", value, Limit(low, None, source), informs=pair is None)


def _notes(entries: Entries, machine: Machine) -> Iterator[Note]:
    for code in ("r_30s", "r_1min", "r_10min"):
        value = entries.number(code)
        if value is not None and value > OHMS_TYPED_FROM_MOHM:
            yield Note("ohms_typed", "doubt", {"field": code, "value": value, "as_mohm": value / 1e6})
    volts = entries.number("test_voltage_v")
    if volts is not None and machine.voltage_v is not None:
        low, high = table.test_voltages(machine.voltage_v)
        if not low <= volts <= high:
            params = {"value": volts, "low": low, "high": high, "rated_v": machine.voltage_v}
            yield Note("test_voltage", "warn", params, table.TEST_VOLTAGE_SOURCE)
    one, ten = entries.number("r_1min"), entries.number("r_10min")
    if one is not None and ten is not None and ten < one:
        yield Note("falls_with_time", "warn", {"r_1min": one, "r_10min": ten}, COMMON_PRACTICE)
    if one is not None and ten is not None and one > table.INDEX_MEANINGLESS_MOHM:
        yield Note("index_meaningless", "note", {"value": one}, table.INDEX_MEANINGLESS_SOURCE)


def _missing(entries: Entries, machine: Machine, at_40: float | None, notes: list[Note]) -> Iterator[Missing]:
    for code in ("r_1min", "winding_c"):
        if entries.number(code) is None:
            yield Missing(code, "insulation")
    if machine.voltage_v is None:
        yield Missing("machine.voltage_v", "insulation")
    if at_40 is None and entries.choice("method") is None and entries.numbers("r_1min", "winding_c"):
        yield Missing("method", "insulation")
    if entries.number("r_10min") is not None and not machine.insulation_class and machine.winding != "random":
        yield Missing("machine.insulation_class", "polarization_index")


def _working(entries: Entries, at_40: float | None) -> Iterator[Working]:
    read, at_c, method = entries.number("r_1min"), entries.number("winding_c"), entries.choice("method")
    yield Working("R 1 min", "given", read, "MΩ", INPUT)
    yield Working("T", "given", at_c, "°C", INPUT)
    if at_c is not None and method != "thermosetting":
        factor: float | None = table.ten_degree_factor(at_c)
        yield Working("Kt", "0.5^((40 - T) / 10)", factor, "", table.TEN_DEGREE_SOURCE)
    if at_c is not None and method != "ten_degree":
        formula = "exp(-4230 (1/(T + 273) - 1/313)), from 40 °C 1245"
        yield Working("Kt", formula, table.thermosetting_factor(at_c), "", table.THERMOSETTING_SOURCE)
    yield Working("R 40", "R 1 min Kt", at_40, "MΩ", table.TEN_DEGREE_SOURCE)


def _look(entries: Entries, machine: Machine) -> Answer:
    limit = least_resistance(machine)
    at_40, said = _at_40(entries, limit)
    results = (
        Result("insulation", "insulation", at_40, limit),
        _index(entries, machine),
        _absorption(entries),
    )
    return Answer(
        results,
        (*said, *_notes(entries, machine)),
        tuple(_missing(entries, machine, at_40, said)),
        tuple(_working(entries, at_40)),
    )


SUBJECT = Subject(
    code="insulation",
    fields=FIELDS,
    results={"insulation": "insulation", "polarization_index": "ratio", "absorption_ratio": "ratio"},
    look=_look,
)
