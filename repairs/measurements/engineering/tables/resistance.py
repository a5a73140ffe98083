"""Winding resistance: how it grows with temperature, how even phases are, how far a winding may warm up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from repairs.measurements.engineering.limits import Source

# k in R2 / R1 = (k + T2) / (k + T1). [°C]
CONDUCTORS: Final[Mapping[str, float]] = {"copper": 234.5, "aluminum": 225.0}
CONDUCTOR_SOURCE: Final = Source("IEEE 112", "", "resistance and temperature", "memory")
REFERENCES: Final[Mapping[str, float]] = {"ref_25": 25.0, "ref_20": 20.0, "ref_40": 40.0}
# Largest deviation from the mean of the three. [%]
UNBALANCE: Final[Mapping[str, float]] = {"form": 1.0, "random": 2.0}
UNBALANCE_SOURCE: Final = Source(
    "ANSI/EASA AR100", "2020", "winding resistance, from the average", "secondary"
)
# Rise by resistance above 40 °C, at service factor 1.0 and at 1.15 or more, by class. [K]
RISES: Final[Mapping[str, float]] = {"A": 60.0, "B": 80.0, "F": 105.0, "H": 125.0}
RISES_WITH_FACTOR: Final[Mapping[str, float]] = {"B": 90.0, "F": 115.0}
FACTOR_FROM: Final = 1.15
RISE_SOURCE: Final = Source("NEMA MG 1", "", "rise by resistance, 40 °C ambient", "memory")
USUAL_AMBIENT_C: Final = 40.0
# Up to which rated power the first reading after switching off counts without a cooling curve. [W], [s]
FIRST_READING: Final = ((50e3, 30.0), (200e3, 90.0), (5000e3, 120.0))
FIRST_READING_SOURCE: Final = Source("IEC 60034-1", "", "time to the first reading", "memory")


def at_temperature(ohms: float, from_c: float, to_c: float, conductor: str) -> float:
    """Return a resistance at another temperature. [Ω]"""
    k = CONDUCTORS[conductor]
    return ohms * (k + to_c) / (k + from_c)


def temperature_by_resistance(cold_ohm: float, cold_c: float, hot_ohm: float, conductor: str) -> float:
    """Return the mean temperature of a winding from its resistance cold and hot. [°C]"""
    k = CONDUCTORS[conductor]
    return hot_ohm / cold_ohm * (k + cold_c) - k
