"""Figures of the plate that a test needs beside it: synchronous speed, slip, torque, currents. They inform."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering import plate
from repairs.measurements.engineering.arithmetic import INPUT, PLATE
from repairs.measurements.engineering.limits import ARITHMETIC
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Result,
    Subject,
    Working,
)

FIELDS: Final = (
    Field("supply_v", "voltage", 1, 20_000, needed=False),
    Field("supply_hz", "frequency", 1, 400, needed=False, setting=True),
)
# Which names of the plate each result needs; one of a group is enough.
NEEDS: Final = (
    ("plate_sync_rpm", (("poles", "speed_rpm"), ("frequency_hz",))),
    ("plate_slip", (("speed_rpm",), ("frequency_hz",))),
    ("plate_torque", (("power_w",), ("speed_rpm",))),
    (
        "plate_fla",
        (("power_w",), ("voltage_v",), ("efficiency",), ("power_factor",), ("phases",)),
    ),
    ("plate_lra_low", (("code_letter",), ("power_w",), ("voltage_v",), ("phases",))),
)


def _missing(machine: Machine) -> Iterator[Missing]:
    for result, groups in NEEDS:
        for names in groups:
            if all(getattr(machine, name) is None for name in names):
                yield Missing(f"machine.{names[0]}", result)


def _sources(entries: Entries, machine: Machine) -> Iterator[Working]:
    for symbol, value, unit in (
        ("P", machine.power_w, "W"),
        ("V", machine.voltage_v, "V"),
        ("n", machine.speed_rpm, "rpm"),
        ("η", machine.efficiency, ""),
        ("cos φ", machine.power_factor, ""),
    ):
        yield Working(symbol, "given", value, unit, PLATE)
    for code, symbol, unit in (("supply_v", "V supply", "V"), ("supply_hz", "f supply", "Hz")):
        if entries.number(code) is not None:
            yield Working(symbol, "given", entries.number(code), unit, INPUT)


def _look(entries: Entries, machine: Machine) -> Answer:
    poles = plate.poles_of(machine)
    frequency = entries.number("supply_hz") or machine.frequency_hz
    synchronous = None if poles is None or frequency is None else plate.synchronous_rpm(frequency, poles)
    slip = plate.rated_slip(machine)
    supply_v = entries.number("supply_v") or machine.voltage_v
    locked = None if supply_v is None else plate.locked_rotor_a(machine, supply_v)
    low, high = locked if locked is not None else (None, None)
    percent = None if slip is None else 100 * slip
    torque, current = plate.rated_torque_nm(machine), plate.rated_current_a(machine)
    results = (
        Result("plate_poles", "plain", poles, informs=True),
        Result("plate_sync_rpm", "speed", synchronous, informs=True),
        Result("plate_slip", "percent", percent, informs=True),
        Result("plate_torque", "torque", torque, informs=True),
        Result("plate_fla", "current", current, informs=True),
        Result("plate_lra_low", "current", low, informs=True),
        Result("plate_lra_high", "current", high, informs=True),
    )
    working = (
        *_sources(entries, machine),
        Working("p", "plate, else from rated speed", poles, "", plate.POLES_SOURCE),
        Working("n sync", "120 f / p", synchronous, "rpm", plate.SYNCHRONOUS_SOURCE),
        Working("slip", "100 (1 - n / n sync)", percent, "%", plate.SYNCHRONOUS_SOURCE),
        Working("M", "P / (2 π n / 60)", torque, "N m", ARITHMETIC),
        Working("FLA", "P / (√3 V η cos φ)", current, "A", ARITHMETIC),
        Working("LRA low", "hp kVA/hp 1000 / (√3 V) V supply / V", low, "A", plate.CODE_LETTER_SOURCE),
        Working("LRA high", "hp kVA/hp 1000 / (√3 V) V supply / V", high, "A", plate.CODE_LETTER_SOURCE),
    )
    return Answer(results, missing=tuple(_missing(machine)), working=working)


SUBJECT = Subject(
    code="nameplate_check",
    fields=FIELDS,
    results={
        "plate_poles": "plain",
        "plate_sync_rpm": "speed",
        "plate_slip": "percent",
        "plate_torque": "torque",
        "plate_fla": "current",
        "plate_lra_low": "current",
        "plate_lra_high": "current",
    },
    look=_look,
)
