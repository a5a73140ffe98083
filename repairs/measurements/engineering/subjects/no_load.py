"""No-load run: is the supply good enough, are the currents even, is their size and the speed plausible."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT, PLATE, mean, unbalance_percent
from repairs.measurements.engineering.limits import ARITHMETIC, COMMON_PRACTICE
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.plate import (
    POLES_SOURCE,
    SYNCHRONOUS_SOURCE,
    poles_of,
    rated_slip,
    synchronous_rpm,
)
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
    Field("rpm", "speed", 0, 20_000, needed=False),
    Field("watts", "power", 0, 1e8, needed=False),
    Field("supply_hz", "frequency", 1, 400, needed=False, setting=True),
)


def _unbalance(entries: Entries, codes: tuple[str, ...]) -> float | None:
    read = entries.numbers(*codes)
    return None if read is None else unbalance_percent(read)


def _supply_hz(entries: Entries, machine: Machine) -> float | None:
    """Return the frequency of the supply; not entered, it is the plate's, and the working says so."""
    return entries.number("supply_hz") or machine.frequency_hz


def _synchronous(entries: Entries, machine: Machine) -> float | None:
    poles, frequency = poles_of(machine), _supply_hz(entries, machine)
    return None if poles is None or frequency is None else synchronous_rpm(frequency, poles)


def _off_rating(entries: Entries, machine: Machine) -> float | None:
    """Return how far volts per hertz are from the rated ones, on which the no-load current hangs, as a share."""
    volts, frequency = entries.numbers(*VOLTS), _supply_hz(entries, machine)
    if volts is None or not machine.voltage_v or not machine.frequency_hz or frequency is None:
        return None
    return mean(volts) / machine.voltage_v * machine.frequency_hz / frequency - 1


def _share(entries: Entries, machine: Machine) -> float | None:
    """Return the mean current as a share of full-load amps; None where the voltage is not near the rated one. [%]"""
    amps, off = entries.numbers(*AMPS), _off_rating(entries, machine)
    if amps is None or not machine.current_a or off is None or abs(off) > table.VOLTAGE_TOLERANCE:
        return None
    return 100 * mean(amps) / machine.current_a


def _slip(entries: Entries, machine: Machine) -> float | None:
    rpm, synchronous = entries.number("rpm"), _synchronous(entries, machine)
    return None if rpm is None or synchronous is None else 100 * (1 - rpm / synchronous)


def _power_factor(entries: Entries) -> float | None:
    volts, amps, watts = entries.numbers(*VOLTS), entries.numbers(*AMPS), entries.number("watts")
    if volts is None or amps is None or watts is None or mean(amps) == 0:
        return None
    return watts / (sqrt(3) * mean(volts) * mean(amps))


def _supply_notes(entries: Entries, machine: Machine) -> Iterator[Note]:
    volts, amps = _unbalance(entries, VOLTS), _unbalance(entries, AMPS)
    if volts is not None and not table.HIGHEST_VOLTAGE_UNBALANCE.holds(volts):
        yield Note("do_not_run", "stop", {"value": volts}, table.HIGHEST_VOLTAGE_UNBALANCE.source)
    elif volts is not None and volts > table.DERATED_ABOVE:
        params = {"value": volts, "factor": 100 * (table.derating(volts) or 0)}
        yield Note("derate", "warn", params, table.DERATING_SOURCE)
    if volts is not None and amps is not None and not table.HIGHEST_CURRENT_UNBALANCE.holds(amps):
        low, high = (times * volts for times in table.EXPLAINED)
        params = {"value": amps, "volts": volts, "low": low, "high": high}
        code = "voltage_explains" if amps <= high else "voltage_explains_not"
        yield Note(code, "note", params, table.EXPLAINED_SOURCE)
    off = _off_rating(entries, machine)
    if off is not None and abs(off) > table.VOLTAGE_TOLERANCE:
        read = mean(entries.numbers(*VOLTS) or (0.0,))
        params = {"value": read, "rated_v": machine.voltage_v or 0, "hz": _supply_hz(entries, machine) or 0}
        yield Note("voltage_off", "note", params, table.VOLTAGE_TOLERANCE_SOURCE)


def _run_notes(entries: Entries, machine: Machine) -> Iterator[Note]:
    share, poles = _share(entries, machine), poles_of(machine)
    if share is not None and poles is not None:
        low, high = table.usual_share(poles)
        if not low <= share <= high:
            params = {"value": share, "low": low, "high": high, "poles": poles}
            yield Note("share_unusual", "warn", params, COMMON_PRACTICE)
    slip, at_rated = _slip(entries, machine), rated_slip(machine)
    rpm, synchronous = entries.number("rpm") or 0.0, _synchronous(entries, machine) or 0.0
    if slip is not None and slip < -100 * table.SPEED_TOLERANCE:
        yield Note(
            "above_synchronous", "doubt", {"value": rpm, "synchronous": synchronous}, SYNCHRONOUS_SOURCE
        )
    elif slip is not None and at_rated is not None and slip > 100 * at_rated:
        params = {"value": rpm, "synchronous": synchronous, "rated": synchronous * (1 - at_rated)}
        yield Note("slips_like_loaded", "warn", params, SYNCHRONOUS_SOURCE)
    factor = _power_factor(entries)
    if factor is not None and factor > 1:
        yield Note("power_too_high", "doubt", {"value": entries.number("watts")}, ARITHMETIC)


def _missing(entries: Entries, machine: Machine) -> Iterator[Missing]:
    for codes, result in ((VOLTS, "voltage_unbalance"), (AMPS, "current_unbalance")):
        yield from (Missing(code, result) for code in codes if entries.number(code) is None)
    if entries.numbers(*AMPS) is not None:
        for name in ("current_a", "voltage_v", "frequency_hz"):
            if getattr(machine, name) is None:
                yield Missing(f"machine.{name}", "no_load_share")
    if entries.number("rpm") is not None and poles_of(machine) is None:
        yield Missing("machine.poles", "no_load_slip")
    if entries.number("rpm") is not None and _supply_hz(entries, machine) is None:
        yield Missing("supply_hz", "no_load_slip")


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
    yield Working("p", "plate, else from rated speed", poles_of(machine), "", POLES_SOURCE)
    entered = entries.number("supply_hz") is not None
    yield Working(
        "f", "given" if entered else "plate", _supply_hz(entries, machine), "Hz", INPUT if entered else PLATE
    )
    yield Working("n sync", "120 f / p", _synchronous(entries, machine), "rpm", SYNCHRONOUS_SOURCE)
    yield Working("slip", "100 (1 - n / n sync)", _slip(entries, machine), "%", SYNCHRONOUS_SOURCE)
    yield Working("cos φ", "P / (√3 V mean I mean)", _power_factor(entries), "", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    results = (
        Result("voltage_unbalance", "percent", _unbalance(entries, VOLTS), table.HIGHEST_VOLTAGE_UNBALANCE),
        Result("current_unbalance", "percent", _unbalance(entries, AMPS), table.HIGHEST_CURRENT_UNBALANCE),
        Result("no_load_share", "percent", _share(entries, machine), informs=True),
        Result("no_load_slip", "percent", _slip(entries, machine), informs=True),
        Result("no_load_power", "power", entries.number("watts"), informs=True),
        Result("no_load_pf", "ratio", _power_factor(entries), informs=True),
    )
    return Answer(
        results,
        (*_supply_notes(entries, machine), *_run_notes(entries, machine)),
        tuple(_missing(entries, machine)),
        tuple(_working(entries, machine)),
    )


SUBJECT = Subject(
    code="no_load",
    fields=FIELDS,
    results={
        "voltage_unbalance": "percent",
        "current_unbalance": "percent",
        "no_load_share": "percent",
        "no_load_slip": "percent",
        "no_load_power": "power",
        "no_load_pf": "ratio",
    },
    look=_look,
)
