"""What was computed beside what was measured: comparable or not, and the factor that a shop's own runs show.

Predicted rise: what the bearings lose, against what their seats pass on for each kelvin above ambient.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median
from typing import Final, Literal, NamedTuple

# Gauge loads are set by hand: within this share they are the same (common practice, no source).
SAME_LOAD: Final = 0.05
# Fewer runs than this teach nothing.
FEWEST_RUNS: Final = 5
# What seats pass on is told for this rise where no other is entered (ISO 15312:2018, from memory, unverified).
REFERENCE_RISE_K: Final = 50.0
Reason = Literal[
    "no_prediction", "not_measured", "no_loads", "other_load", "weight_unsaid", "not_stable", "no_case",
    "no_friction", "no_rise",
]  # fmt: skip
Word = Literal["inside", "below", "above"]


def why_loads_differ(
    predicted_n: float, down_n: float | None, up_n: float | None, *, without_weight: bool | None
) -> Reason | None:
    """Return why an end play cannot be held against a prediction that pulls and pushes with a force; None if it can."""
    if down_n is None or up_n is None:
        return "no_loads"
    if not without_weight:
        return "weight_unsaid"
    if any(abs(load - predicted_n) > SAME_LOAD * predicted_n for load in (down_n, up_n)):
        return "other_load"
    return None


def compared(value: float, low: float, high: float) -> Word:
    """Return on which side of a band a value lies; both ends belong to the band."""
    return "below" if value < low else "above" if value > high else "inside"


def predicted_rise(friction_w: float, seats_w: float, at_rise_k: float) -> float | None:
    """Return the rise over ambient in K at which seats pass on a friction; None where they pass on nothing.

    What they pass on grows with the rise: rise = friction x at_rise / seats.
    """
    return friction_w * at_rise_k / seats_w if seats_w > 0 and at_rise_k > 0 else None


class Factor(NamedTuple):
    """Measured over predicted, of several runs: the middle one, the lowest, the highest, how many."""

    median: float
    low: float
    high: float
    runs: int


def learned(ratios: Sequence[float]) -> Factor | None:
    """Return the factor that runs show; None of fewer than five."""
    if len(ratios) < FEWEST_RUNS:
        return None
    return Factor(median(ratios), min(ratios), max(ratios), len(ratios))
