"""What follows from a plate for a test: poles, synchronous speed, torque, currents of an induction motor."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi, sqrt
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Source
from repairs.measurements.engineering.machine import Machine

# More slip than this at rated load is another number of poles or a misread plate.
LARGEST_SLIP: Final = 0.15
SYNCHRONOUS_SOURCE: Final = Source("definition", "", "120 f / p")
POLES_SOURCE: Final = COMMON_PRACTICE
HORSEPOWER_W: Final = 745.6998715822702
# Locked-rotor kVA for each horsepower, from and to below.
CODE_LETTERS: Final[Mapping[str, tuple[float, float | None]]] = {
    "A": (0.0, 3.15), "B": (3.15, 3.55), "C": (3.55, 4.0), "D": (4.0, 4.5), "E": (4.5, 5.0), "F": (5.0, 5.6),
    "G": (5.6, 6.3), "H": (6.3, 7.1), "J": (7.1, 8.0), "K": (8.0, 9.0), "L": (9.0, 10.0), "M": (10.0, 11.2),
    "N": (11.2, 12.5), "P": (12.5, 14.0), "R": (14.0, 16.0), "S": (16.0, 18.0), "T": (18.0, 20.0),
    "U": (20.0, 22.4), "V": (22.4, None),
}  # fmt: skip
CODE_LETTER_SOURCE: Final = Source("NEMA MG 1", "", "10.37.2", "memory")


def synchronous_rpm(frequency_hz: float, poles: int) -> float:
    """Return the speed without slip. [rpm]"""
    return 120 * frequency_hz / poles


def poles_of(machine: Machine) -> int | None:
    """Return the poles of the plate, else those of the nearest synchronous speed at or above the rated one."""
    if machine.poles is not None:
        return machine.poles if machine.poles >= 2 and machine.poles % 2 == 0 else None
    if not machine.speed_rpm or not machine.frequency_hz:
        return None
    poles = int(120 * machine.frequency_hz / machine.speed_rpm + 1e-9)
    poles -= poles % 2
    if poles < 2:
        return None
    slip = 1 - machine.speed_rpm / synchronous_rpm(machine.frequency_hz, poles)
    return poles if slip <= LARGEST_SLIP else None


def rated_slip(machine: Machine) -> float | None:
    """Return the slip at rated load as a share; None where the plate has none, or one that no motor has."""
    poles = poles_of(machine)
    if poles is None or not machine.speed_rpm or not machine.frequency_hz:
        return None
    slip = 1 - machine.speed_rpm / synchronous_rpm(machine.frequency_hz, poles)
    return slip if 0 <= slip <= LARGEST_SLIP else None


def rated_torque_nm(machine: Machine) -> float | None:
    """Return the torque at rated load, P / ω. [N m]"""
    if machine.power_w is None or not machine.speed_rpm:
        return None
    return machine.power_w / (2 * pi * machine.speed_rpm / 60)


def rated_current_a(machine: Machine) -> float | None:
    """Return the current at rated load, P / (√3 V η cos φ), without the root for one phase. [A]"""
    root = {3: sqrt(3), 1: 1.0}.get(machine.phases or 0)
    known = (machine.power_w, machine.voltage_v, machine.efficiency, machine.power_factor)
    if root is None or not all(known):
        return None
    power, volts, efficiency, factor = (float(one or 0) for one in known)
    return power / (root * volts * efficiency * factor)


def locked_rotor_a(machine: Machine, supply_v: float) -> tuple[float, float | None] | None:
    """Return from and to what current the code letter allows at a supply voltage, with which it grows. [A]"""
    letters = CODE_LETTERS.get((machine.code_letter or "").strip().upper())
    root = {3: sqrt(3), 1: 1.0}.get(machine.phases or 0)
    if letters is None or root is None or not machine.power_w or not machine.voltage_v:
        return None
    amps_per_kva = 1000 / (root * machine.voltage_v) * supply_v / machine.voltage_v
    horsepower = machine.power_w / HORSEPOWER_W
    low, high = letters
    return low * horsepower * amps_per_kva, None if high is None else high * horsepower * amps_per_kva
