"""No-load run: unbalance of the supply and of the currents, usual share of full-load amps."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

HIGHEST_VOLTAGE_UNBALANCE: Final = Limit(
    None, 5.0, Source("NEMA MG 1", "", "voltage unbalance: not to be run above 5%", "secondary")
)
# From this unbalance on a motor is derated. [%]
DERATED_ABOVE: Final = 1.0
# Unbalance in percent, factor of the rated power; read off a curve, other readers take 0.90 at 3%.
DERATING: Final = ((1.0, 1.0), (2.0, 0.95), (3.0, 0.88), (4.0, 0.82), (5.0, 0.75))
DERATING_SOURCE: Final = Source(
    "NEMA MG 1", "", "derating for voltage unbalance, read off the curve", "memory"
)
HIGHEST_CURRENT_UNBALANCE: Final = Limit(None, 10.0, COMMON_PRACTICE)
# How many times the voltage's unbalance the current's is by that alone.
EXPLAINED: Final = (6.0, 10.0)
EXPLAINED_SOURCE: Final = Source("NEMA MG 1", "", "current follows 6 to 10 times", "secondary")
# Up to how many poles, from and to what share of full-load amps at rated voltage. [%]
SHARES: Final = ((4, 25.0, 40.0), (8, 30.0, 50.0))
LARGEST_SHARE: Final = 70.0
VOLTAGE_TOLERANCE: Final = 0.10
VOLTAGE_TOLERANCE_SOURCE: Final = Source("NEMA MG 1", "", "voltage within 10% of rated", "memory")
# A supply's frequency and a tachometer together are this close.
SPEED_TOLERANCE: Final = 0.005


def derating(unbalance_percent: float) -> float | None:
    """Return the factor of the rated power at a voltage unbalance; None above 5 %."""
    points: Sequence[tuple[float, float]] = DERATING
    if unbalance_percent <= points[0][0]:
        return 1.0
    for (left, high), (right, low) in pairwise(points):
        if unbalance_percent <= right:
            return high + (low - high) * (unbalance_percent - left) / (right - left)
    return None


def usual_share(poles: int) -> tuple[float, float]:
    """Return from and to what share of full-load amps motors draw without load. [%]"""
    return next(((low, high) for up_to, low, high in SHARES if poles <= up_to), (0.0, LARGEST_SHARE))
