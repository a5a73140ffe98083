"""Insulation resistance: minimums, test voltages, temperature correction.

IEEE 43-2013. 5 MΩ seen in a note of ANSI/EASA AR100-2020, kV + 1 and the test voltages in secondary copies; 100 MΩ
and the correction of thermosetting insulation from memory, unverified.
"""

from __future__ import annotations

from math import exp, inf
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Source

MINIMUM_RANDOM: Final = (5.0, Source("IEEE 43", "2013", "table 3", "secondary"))
MINIMUM_FORM: Final = (100.0, Source("IEEE 43", "2013", "table 3", "memory"))
MINIMUM_OLD: Final = Source("IEEE 43", "2013", "table 3: kV + 1", "secondary")
OLD_BEFORE_YEAR: Final = 1970
LOW_VOLTAGE_V: Final = 1000.0
# Up to which rated voltage, lowest and highest test voltage in V DC.
TEST_VOLTAGES: Final = (
    (1000.0, 500.0, 500.0),
    (2500.0, 500.0, 1000.0),
    (5000.0, 1000.0, 2500.0),
    (12_000.0, 2500.0, 5000.0),
    (inf, 5000.0, 10_000.0),
)
TEST_VOLTAGE_SOURCE: Final = Source("IEEE 43", "2013", "table 1", "secondary")
TEN_DEGREE_SOURCE: Final = Source("IEEE 43", "2013", "halving every 10 °C", "secondary")
THERMOSETTING_SOURCE: Final = Source("IEEE 43", "2013", "thermosetting insulation", "memory")
THERMOSETTING_FROM_C: Final = 10.0
THERMOSETTING_BELOW_C: Final = 85.0
LEAST_INDEX: Final = {"A": 1.5, "B": 2.0, "F": 2.0, "H": 2.0}
INDEX_SOURCE: Final = Source("IEEE 43", "2013", "table 2", "secondary")
# Above this at one minute the index says nothing.
INDEX_MEANINGLESS_MOHM: Final = 5000.0
INDEX_MEANINGLESS_SOURCE: Final = Source("IEEE 43", "2013", "polarization index", "memory")
LEAST_ABSORPTION: Final = (1.0, COMMON_PRACTICE)
GOOD_ABSORPTION: Final = 1.25
REFERENCE_C: Final = 40.0


def ten_degree_factor(winding_c: float) -> float:
    """Return Kt = 0.5^((40 - T) / 10), for insulation whose resistance halves every 10 °C."""
    return float(0.5 ** ((REFERENCE_C - winding_c) / 10))


def thermosetting_factor(winding_c: float) -> float | None:
    """Return Kt of thermosetting insulation for 10 <= T < 85 °C, None outside.

    exp(-4230 (1/(T + 273) - 1/313)) below 40 °C, exp(-1245 (...)) from there on; from memory, unverified.
    """
    if not THERMOSETTING_FROM_C <= winding_c < THERMOSETTING_BELOW_C:
        return None
    constant = 4230.0 if winding_c < REFERENCE_C else 1245.0
    return exp(-constant * (1 / (winding_c + 273) - 1 / (REFERENCE_C + 273)))


def test_voltages(rated_v: float) -> tuple[float, float]:
    """Return lowest and highest DC test voltage of a winding. [V]"""
    return next((low, high) for up_to, low, high in TEST_VOLTAGES if rated_v < up_to or up_to == inf)
