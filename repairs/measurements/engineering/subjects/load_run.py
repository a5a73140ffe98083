"""Run under load: is the supply good enough, are the currents even, are they more than the plate allows.

No standard limits the unbalance of currents under load; it is told beside what the supply's unbalance explains.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.arithmetic import PLATE, mean, unbalance_percent
from repairs.measurements.engineering.limits import ARITHMETIC, COMMON_PRACTICE
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
from repairs.measurements.engineering.tables import no_load as table

VOLTS: Final = ("v_ab", "v_bc", "v_ca")
AMPS: Final = ("i_a", "i_b", "i_c")
FIELDS: Final = (
    *(Field(code, "voltage", 1, 20_000) for code in VOLTS),
    *(Field(code, "current", 0, 20_000) for code in AMPS),
)
# Of full-load amps. [%]
FULL_LOAD: Final = 100.0
RESULTS: Final = {
    "load_volts_unbalance": "percent",
    "load_amps_unbalance": "percent",
    "load_share": "percent",
}


def _unbalance(entries: Entries, codes: tuple[str, ...]) -> float | None:
    read = entries.numbers(*codes)
    return None if read is None else unbalance_percent(read)


def _share(entries: Entries, machine: Machine) -> float | None:
    """Return the mean current as a share of full-load amps. [%]"""
    amps = entries.numbers(*AMPS)
    return None if amps is None or not machine.current_a else 100 * mean(amps) / machine.current_a


def _notes(entries: Entries, machine: Machine) -> Iterator[Note]:
    volts, amps = _unbalance(entries, VOLTS), _unbalance(entries, AMPS)
    if volts is not None and not table.HIGHEST_VOLTAGE_UNBALANCE.holds(volts):
        yield Note("do_not_run", "stop", {"value": volts}, table.HIGHEST_VOLTAGE_UNBALANCE.source)
    elif volts is not None and volts > table.DERATED_ABOVE:
        params = {"value": volts, "factor": 100 * (table.derating(volts) or 0)}
        yield Note("derate", "warn", params, table.DERATING_SOURCE)
    if volts is not None and amps is not None:
        low, high = (times * volts for times in table.EXPLAINED)
        params = {"value": amps, "volts": volts, "low": low, "high": high}
        # Little unbalance of its own has every winding: told from where shops flag it without load.
        if not table.HIGHEST_CURRENT_UNBALANCE.holds(amps) and amps > high:
            yield Note("supply_explains_not", "warn", params, table.EXPLAINED_SOURCE)
        elif not table.HIGHEST_CURRENT_UNBALANCE.holds(amps) or volts > table.DERATED_ABOVE:
            yield Note("supply_explains", "note", params, table.EXPLAINED_SOURCE)
    share, factor = _share(entries, machine), machine.service_factor or 1.0
    if share is not None and share > FULL_LOAD:
        within = share <= FULL_LOAD * factor
        params = {"value": share, "factor": factor}
        yield Note("into_service_factor" if within else "above_plate", "warn", params, COMMON_PRACTICE)


def _missing(entries: Entries, machine: Machine) -> Iterator[Missing]:
    for codes, result in ((VOLTS, "load_volts_unbalance"), (AMPS, "load_amps_unbalance")):
        yield from (Missing(code, result) for code in codes if entries.number(code) is None)
    if entries.numbers(*AMPS) is not None and not machine.current_a:
        yield Missing("machine.current_a", "load_share")


def _working(entries: Entries, machine: Machine) -> Iterator[Working]:
    for codes, symbol, unit in ((VOLTS, "V", "V"), (AMPS, "I", "A")):
        read = entries.numbers(*codes)
        if read is None:
            continue
        yield Working(f"{symbol} mean", "mean of three", mean(read), unit, ARITHMETIC)
        formula = f"100 max|{symbol} - {symbol} mean| / {symbol} mean"
        yield Working(f"unbalance {symbol}", formula, unbalance_percent(read), "%", ARITHMETIC)
    volts = _unbalance(entries, VOLTS)
    if volts is not None:
        yield Working("derating", "table", table.derating(volts), "", table.DERATING_SOURCE)
    yield Working("FLA", "given", machine.current_a, "A", PLATE)
    yield Working("load", "100 I mean / FLA", _share(entries, machine), "%", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    volts, amps = _unbalance(entries, VOLTS), _unbalance(entries, AMPS)
    results = (
        Result("load_volts_unbalance", "percent", volts, table.HIGHEST_VOLTAGE_UNBALANCE),
        # Told, and held to what customer, maker or shop say: a figure that was not read is not checked.
        Result("load_amps_unbalance", "percent", amps, informs=amps is not None),
        Result("load_share", "percent", _share(entries, machine), informs=True),
    )
    return Answer(
        results,
        tuple(_notes(entries, machine)),
        tuple(_missing(entries, machine)),
        tuple(_working(entries, machine)),
    )


SUBJECT: Final = Subject("load_run", FIELDS, RESULTS, _look)
