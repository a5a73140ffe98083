"""Oil and grease: what is usual. No standard limits a quantity; the plate and the mark on the sight glass do."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Source

# Grams for an outside diameter and a width in mm: the quantity for relubrication.
RULE_OF_THUMB: Final = 0.005
RULE_SOURCE: Final = Source("handbook rule of thumb", "", "relubrication: 0.005 D B grams", "memory")
CAVITY_SHARE: Final = 100 / 3
CAVITY_SOURCE: Final = Source("ANSI/EASA AR100", "2020", "2.3.1: about a third of the cavity", "secondary")
# Of what fits in a cavity; more heats up.
FULL_PERCENT: Final = 50.0
# Grease of any kind in g per ml.
DENSITY: Final = 0.9
DIFFERS_PERCENT: Final = 10.0
PRACTICE: Final = COMMON_PRACTICE


def by_rule(outside_mm: float, width_mm: float) -> float:
    """Return the grease for a relubrication by the rule of thumb. [g]"""
    return RULE_OF_THUMB * outside_mm * width_mm


def share(grease_g: float, cavity_l: float) -> float:
    """Return how much of a cavity a mass of grease fills. [%]"""
    return 100 * grease_g / (DENSITY * 1000 * cavity_l)
