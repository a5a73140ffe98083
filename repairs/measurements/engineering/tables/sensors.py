"""Temperature sensors: ohms and degrees both ways, tolerance classes, resistance of tripping thermistors."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import exp
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

# R = R0 (1 + A t + B t² + C (t - 100) t³), the last term below 0 °C only.
A, B, C = 3.9083e-3, -5.775e-7, -4.183e-12
PLATINUM_RANGE: Final = (-200.0, 850.0)
PLATINUM_SOURCE: Final = Source("IEC 60751", "2022", "resistance of platinum", "secondary")
# Deviation in K: first + second |t|.
CLASSES: Final[Mapping[str, tuple[float, float]]] = {
    "class_aa": (0.1, 0.0017),
    "class_a": (0.15, 0.002),
    "class_b": (0.3, 0.005),
}
CLASS_SOURCE: Final = Source("IEC 60751", "2022", "tolerance classes", "secondary")
# 10 Ω at 25 °C.
COPPER_0_OHM: Final = 9.035
COPPER_ALPHA: Final = 0.00427
COPPER_RANGE: Final = (-50.0, 150.0)
COPPER_SOURCE: Final = Source("Cu 10", "", "10 Ω at 25 °C, 0.00427 per °C", "memory")
# 120 Ω at 0 °C, every 10 °C from -80 °C.
NICKEL_FROM_C: Final = -80.0
NICKEL_STEP_C: Final = 10.0
NICKEL_OHMS: Final = (
    66.60, 73.10, 79.62, 86.16, 92.76, 99.41, 106.15, 113.00, 120.00, 127.17, 134.52, 142.06, 149.79, 157.74,
    165.90, 174.25, 182.84, 191.64, 200.64, 209.85, 219.29, 228.96, 238.85, 248.95, 259.30, 269.91, 280.77,
    291.96, 303.46,
)  # fmt: skip
NICKEL_RANGE: Final = (NICKEL_FROM_C, NICKEL_FROM_C + NICKEL_STEP_C * (len(NICKEL_OHMS) - 1))
NICKEL_SOURCE: Final = Source("Ni 120", "", "120 Ω at 0 °C, 0.00672 per °C", "memory")
NTC_RANGE: Final = (-60.0, 300.0)
NTC_SOURCE: Final = Source("beta equation", "", "R25 exp(β (1/T - 1/298.15))", "standard")
KELVIN: Final = 273.15
# Tripping thermistor, one piece: from and to what difference from its threshold, lowest and highest ohms. The first
# row that holds counts.
PTC: Final = (
    (15.0, None, 4000.0, None),
    (5.0, 15.0, 1330.0, None),
    (None, -20.0, 20.0, 250.0),
    (-20.0, -5.0, 20.0, 550.0),
)
PTC_SOURCE: Final = Source("DIN 44081", "", "resistance at the threshold; below 20 Ω shorted", "memory")
LARGEST_SPREAD: Final = Limit(None, 2.0, COMMON_PRACTICE)
PLATINUM: Final[Mapping[str, float]] = {"pt100": 100.0, "pt1000": 1000.0}
KINDS: Final = (*PLATINUM, "ni120", "cu10", "ntc", "ptc")


def platinum_ratio(at_c: float) -> float:
    """Return R / R0 of platinum."""
    below = C * (at_c - 100) * at_c**3 if at_c < 0 else 0.0
    return 1 + A * at_c + B * at_c**2 + below


def nickel_ohm(at_c: float) -> float:
    """Return the resistance of Ni 120, straight between ten degrees. [Ω]"""
    place = (at_c - NICKEL_FROM_C) / NICKEL_STEP_C
    left = min(max(int(place), 0), len(NICKEL_OHMS) - 2)
    return NICKEL_OHMS[left] + (NICKEL_OHMS[left + 1] - NICKEL_OHMS[left]) * (place - left)


def copper_ohm(at_c: float) -> float:
    """Return the resistance of Cu 10. [Ω]"""
    return COPPER_0_OHM * (1 + COPPER_ALPHA * at_c)


def ntc_ohm(at_c: float, r25: float, beta: float) -> float:
    """Return the resistance of an NTC thermistor. [Ω]"""
    return r25 * exp(beta * (1 / (at_c + KELVIN) - 1 / (25 + KELVIN)))


def curve(
    kind: str, r25: float | None = None, beta: float | None = None
) -> tuple[Callable[[float], float], tuple[float, float], Source] | None:
    """Return ohms by degrees, the range and the source of a kind; None where it has no curve."""
    if kind in PLATINUM:
        zero = PLATINUM[kind]
        return lambda at_c: zero * platinum_ratio(at_c), PLATINUM_RANGE, PLATINUM_SOURCE
    if kind == "ni120":
        return nickel_ohm, NICKEL_RANGE, NICKEL_SOURCE
    if kind == "cu10":
        return copper_ohm, COPPER_RANGE, COPPER_SOURCE
    if kind == "ntc" and r25 is not None and beta is not None:
        return lambda at_c: ntc_ohm(at_c, r25, beta), NTC_RANGE, NTC_SOURCE
    return None


def temperature(ohm: float, of: Callable[[float], float], within: tuple[float, float]) -> float | None:
    """Return at what temperature a rising or falling curve has a resistance; None outside its range. [°C]"""
    low, high = within
    ends = of(low), of(high)
    if not min(ends) <= ohm <= max(ends):
        return None
    rising = ends[1] > ends[0]
    for _ in range(60):
        middle = (low + high) / 2
        if (of(middle) < ohm) == rising:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def ptc_limit(above_threshold_k: float, pieces: float) -> Limit | None:
    """Return lowest and highest resistance of thermistors in series so far above their threshold; None near it. [Ω]"""
    for low_k, high_k, low, high in PTC:
        if (low_k is None or above_threshold_k >= low_k) and (high_k is None or above_threshold_k <= high_k):
            return Limit(low * pieces, None if high is None else high * pieces, PTC_SOURCE)
    return None
