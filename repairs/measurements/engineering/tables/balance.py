"""Balance of rotors: permissible residual unbalance, its share in each plane, what trial weights should do."""

from __future__ import annotations

from math import pi
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Source

GRADE_SOURCE: Final = Source("ISO 21940-11", "2016", "e per = 1000 G / omega", "secondary")
SPLIT_SOURCE: Final = Source(
    "ISO 21940-11", "2016", "two planes inboard, each 0.3 to 0.7 of the whole", "memory"
)
FOUR_W_N_SOURCE: Final = Source("4W/N", "", "oz in a plane, W lb at the journal, N rpm", "secondary")
FOUR_W_N_ONE_PLANE: Final = Source("4W/N", "", "one plane: the sum of both journals", "memory")
# 4 oz in for each lb and rpm: 4 x 28.349523125 g x 25.4 mm / 0.45359237 kg.
FOUR_W_N: Final = 6350.0
LEAST_SHARE: Final = 0.3
GREATEST_SHARE: Final = 0.7
VECTORS: Final = Source("vector arithmetic: influence coefficients")
RESIDUAL_TEST: Final = Source("vector arithmetic: A² = k² (Ut² + Ur² + 2 Ut Ur cos)")
# A trial weight that moves the reading by less says little.
LEAST_EFFECT: Final = 0.3
# Two planes whose influence differs by less cannot be told apart.
LEAST_DETERMINANT: Final = 0.05
# The known weight of a residual test is several times what is looked for.
GREATEST_OF_TRIAL: Final = 0.5
DIFFERS_BY: Final = 0.25
LEAST_POSITIONS: Final = 6
PRACTICE: Final = COMMON_PRACTICE


def permissible(mass_kg: float, speed_rpm: float, grade: float) -> float:
    """Return the permissible residual unbalance of a rigid rotor by its grade G in mm/s. [g mm]"""
    return specific(speed_rpm, grade) * mass_kg


def specific(speed_rpm: float, grade: float) -> float:
    """Return the permissible eccentricity of the mass. [µm]"""
    return 1000 * grade / (speed_rpm * 2 * pi / 60)


def split(total: float, to_a_mm: float, to_b_mm: float) -> tuple[float, float]:
    """Return what each of two planes may have, by their distances from the center of gravity between them. [g mm]"""
    shares = (to_b_mm / (to_a_mm + to_b_mm), to_a_mm / (to_a_mm + to_b_mm))
    clamped = tuple(min(max(share, LEAST_SHARE), GREATEST_SHARE) for share in shares)
    return total * clamped[0], total * clamped[1]


def four_w_n(journal_kg: float, speed_rpm: float) -> float:
    """Return what one plane may have by the load of its journal. [g mm]"""
    return FOUR_W_N * journal_kg / speed_rpm
