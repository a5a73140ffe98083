"""What follows from figures on a plate, for induction motors. Pure: numbers in, numbers out."""

from __future__ import annotations

from math import pi, sqrt
from typing import Final

# A loaded induction motor slips by a few per cent; more than this is another number of poles or a misread plate.
LARGEST_SLIP: Final = 0.15  # common practice, no source

# Locked-rotor kVA for each horsepower, from and to below, by code letter. NEMA MG 1 10.37.2: from memory, unverified.
CODE_LETTERS: Final[dict[str, tuple[float, float | None]]] = {
    "A": (0.0, 3.15), "B": (3.15, 3.55), "C": (3.55, 4.0), "D": (4.0, 4.5), "E": (4.5, 5.0), "F": (5.0, 5.6),
    "G": (5.6, 6.3), "H": (6.3, 7.1), "J": (7.1, 8.0), "K": (8.0, 9.0), "L": (9.0, 10.0), "M": (10.0, 11.2),
    "N": (11.2, 12.5), "P": (12.5, 14.0), "R": (14.0, 16.0), "S": (16.0, 18.0), "T": (18.0, 20.0),
    "U": (20.0, 22.4), "V": (22.4, None),
}  # fmt: skip


def speed_without_slip_rpm(frequency_hz: float, poles: int) -> float:
    """Return the synchronous speed, 120 f / p. [r/min]"""
    return 120 * frequency_hz / poles


def poles_from_speed(speed_rpm: float, frequency_hz: float) -> int | None:
    """Return the poles of the nearest synchronous speed at or above a rated speed; None when none is near."""
    poles = int(120 * frequency_hz / speed_rpm + 1e-9)
    poles -= poles % 2
    if poles < 2:
        return None
    slip = 1 - speed_rpm / speed_without_slip_rpm(frequency_hz, poles)
    return poles if slip <= LARGEST_SLIP else None


def full_load_current_a(
    power_w: float, voltage_v: float, efficiency: float, power_factor: float, phases: int = 3
) -> float:
    """Return the current at rated load: P / (√3 V η cos φ), without the root for one phase. [A]"""
    return power_w / ((sqrt(3) if phases == 3 else 1) * voltage_v * efficiency * power_factor)


def full_load_torque_nm(power_w: float, speed_rpm: float) -> float:
    """Return the torque at rated load: P / ω. [N m]"""
    return power_w / (2 * pi * speed_rpm / 60)


def locked_rotor_current_a(
    power_hp: float, voltage_v: float, code_letter: str
) -> tuple[float, float | None] | None:
    """Return from and to what current the code letter allows at locked rotor; None for an unknown letter. [A]"""
    limits = CODE_LETTERS.get(code_letter.strip().upper())
    if limits is None:
        return None
    low, high = (
        None if kva_per_hp is None else power_hp * kva_per_hp * 1000 / (sqrt(3) * voltage_v)
        for kva_per_hp in limits
    )
    return low or 0.0, high
