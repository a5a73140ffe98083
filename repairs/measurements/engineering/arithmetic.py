"""Arithmetic that several shop tests share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from repairs.measurements.engineering.limits import Source

INPUT: Final = Source("entered", sureness="entered")
PLATE: Final = Source("nameplate", sureness="entered")


def mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def unbalance_percent(values: Sequence[float]) -> float | None:
    """Return the largest deviation from the mean as a share of the mean; None where the mean is not positive. [%]"""
    middle = mean(values)
    if middle <= 0:
        return None
    return 100 * max(abs(one - middle) for one in values) / middle
