"""Winding resistance line to line: evenness of the phases, phase resistance, value at a reference temperature."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT, mean, unbalance_percent
from repairs.measurements.engineering.limits import ARITHMETIC, COMMON_PRACTICE, Limit
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

PAIRS: Final = ("r_ab", "r_bc", "r_ca")
FIELDS: Final = (
    *(Field(code, "resistance", 1e-6, 1e6) for code in PAIRS),
    Field("winding_c", "temperature", -20, 150, needed=False),
    Field("connection", "choice", choices=("wye", "delta", "unknown"), needed=False, setting=True),
    Field("conductor", "choice", choices=tuple(table.CONDUCTORS), needed=False, setting=True),
    Field("reference", "choice", choices=tuple(table.REFERENCES), needed=False, setting=True),
)


def phase_resistances(read: tuple[float, ...], connection: str) -> tuple[float, ...] | None:
    """Return the three phases that give three readings line to line; None where no phases can. [Ω]

    Wye: a, b, c from the neutral. Delta: the phases between ab, bc and ca. Even phases: R/2 in wye, 1.5 R in delta.
    """
    r_ab, r_bc, r_ca = read
    half = sum(read) / 2
    a, b, c = half - r_bc, half - r_ca, half - r_ab
    if min(a, b, c) <= 0:
        return None
    if connection == "wye":
        return a, b, c
    products = a * b + b * c + c * a
    return products / c, products / a, products / b


def _limits(machine: Machine, unbalance: float | None) -> Limit | None:
    """Return the limit of the winding's kind. Of no known kind both must agree: the stricter one passes, the wider
    one fails, between them there is none."""
    kinds = {name: Limit(None, high, table.UNBALANCE_SOURCE) for name, high in table.UNBALANCE.items()}
    if machine.winding is not None:
        return kinds[machine.winding]
    if unbalance is None:
        return None
    agreed = [limit for limit in kinds.values() if limit.holds(unbalance)]
    if len(agreed) == len(kinds):
        return kinds["form"]
    return None if agreed else kinds["random"]


def _factor(entries: Entries) -> float | None:
    """Return by what a reading is multiplied to have it at the reference temperature."""
    at_c, conductor = entries.number("winding_c"), entries.choice("conductor")
    to_c = table.REFERENCES.get(entries.choice("reference") or "")
    if at_c is None or conductor is None or to_c is None:
        return None
    return table.at_temperature(1.0, at_c, to_c, conductor)


def _phases(entries: Entries) -> tuple[float, ...] | None:
    read, connection = entries.numbers(*PAIRS), entries.choice("connection")
    if read is None or connection not in ("wye", "delta"):
        return None
    return phase_resistances(read, connection)


def _notes(entries: Entries, machine: Machine, unbalance: float | None) -> Iterator[Note]:
    read = entries.numbers(*PAIRS)
    if read is None:
        return
    if machine.winding is None and _limits(machine, unbalance) is None:
        yield Note("kind_decides", "note", dict(table.UNBALANCE), table.UNBALANCE_SOURCE)
    if phase_resistances(read, "wye") is None:
        yield Note("impossible_three", "doubt", dict(zip(PAIRS, read, strict=True)), ARITHMETIC)
    power, current = machine.power_w, machine.current_a
    # Three phases at rated current lose 1.5 I² R line to line: no motor loses more than it delivers.
    if power and current and machine.phases in (None, 3) and 1.5 * current**2 * mean(read) > power:
        params: Mapping[str, float] = {"value": mean(read), "most": power / (1.5 * current**2)}
        yield Note("milliohms_typed", "doubt", params, COMMON_PRACTICE)


def _missing(entries: Entries, machine: Machine, unbalance: float | None) -> Iterator[Missing]:
    for code in PAIRS:
        if entries.number(code) is None:
            yield Missing(code, "resistance_unbalance")
    if machine.winding is None and _limits(machine, unbalance) is None:
        yield Missing("machine.winding", "resistance_unbalance")
    if entries.numbers(*PAIRS) is None:
        return
    if entries.number("winding_c") is None:
        yield Missing("winding_c", "resistance_corrected")
    for code in ("conductor", "reference"):
        if entries.choice(code) is None:
            yield Missing(code, "resistance_corrected")
    if entries.choice("connection") not in ("wye", "delta"):
        yield Missing("connection", "resistance_phase")


def _working(entries: Entries, unbalance: float | None, at_reference: float | None) -> Iterator[Working]:
    for code, symbol in zip(PAIRS, ("R ab", "R bc", "R ca"), strict=True):
        yield Working(symbol, "given", entries.number(code), "Ω", INPUT)
    read = entries.numbers(*PAIRS)
    if read is None:
        return
    yield Working("R mean", "(R ab + R bc + R ca) / 3", mean(read), "Ω", ARITHMETIC)
    yield Working("unbalance", "100 max|R - R mean| / R mean", unbalance, "%", ARITHMETIC)
    phases = _phases(entries)
    if phases is not None:
        wye = entries.choice("connection") == "wye"
        names = ("R a", "R b", "R c") if wye else ("R phase ab", "R phase bc", "R phase ca")
        formula = "wye: half the sum less the far pair" if wye else "delta: from the wye of the same readings"
        for name, phase in zip(names, phases, strict=True):
            yield Working(name, formula, phase, "Ω", ARITHMETIC)
    if at_reference is not None:
        conductor = entries.choice("conductor") or ""
        yield Working("k", conductor, table.CONDUCTORS[conductor], "°C", table.CONDUCTOR_SOURCE)
        yield Working("T", "given", entries.number("winding_c"), "°C", INPUT)
        yield Working("T ref", "chosen", table.REFERENCES[entries.choice("reference") or ""], "°C", INPUT)
        yield Working("R ref", "R mean (k + T ref) / (k + T)", at_reference, "Ω", table.CONDUCTOR_SOURCE)


def _look(entries: Entries, machine: Machine) -> Answer:
    read, factor, phases = entries.numbers(*PAIRS), _factor(entries), _phases(entries)
    unbalance = None if read is None else unbalance_percent(read)
    at_reference = None if read is None or factor is None else mean(read) * factor
    phase = None if phases is None or factor is None else mean(phases) * factor
    results = (
        Result("resistance_unbalance", "percent", unbalance, _limits(machine, unbalance)),
        Result("resistance_corrected", "resistance", at_reference, informs=True),
        Result("resistance_phase", "resistance", phase, informs=True),
    )
    return Answer(
        results,
        tuple(_notes(entries, machine, unbalance)),
        tuple(_missing(entries, machine, unbalance)),
        tuple(_working(entries, unbalance, at_reference)),
    )


SUBJECT = Subject(
    code="winding_resistance",
    fields=FIELDS,
    results={
        "resistance_unbalance": "percent",
        "resistance_corrected": "resistance",
        "resistance_phase": "resistance",
    },
    look=_look,
)
