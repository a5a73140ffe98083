"""Reading a table between its rows."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence


def between_rows(arguments: Sequence[float], values: Sequence[float], argument: float) -> float:
    """Return the value at ``argument`` by linear interpolation; beyond the table, its end row."""
    if argument <= arguments[0]:
        return values[0]
    if argument >= arguments[-1]:
        return values[-1]
    upper = bisect_right(arguments, argument)
    low, high = arguments[upper - 1], arguments[upper]
    share = (argument - low) / (high - low)
    return values[upper - 1] + share * (values[upper] - values[upper - 1])
