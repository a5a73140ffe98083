"""Preload and life of a set against how much warmer than its housing the shaft runs, for a chart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

from bearings.engineering.judgement import Judgement
from bearings.engineering.loads import case_loads
from bearings.engineering.quantities import Stack

# From a housing warmer than the shaft to more than any usual warmth: common practice, no source. [K]
COLDEST_K: Final = -10.0
WARMEST_K: Final = 40.0
STEP_K: Final = 2.5


class WarmthPoint(NamedTuple):
    """What a set does at one warmth: its preload at no net thrust, and its life in the running case."""

    warmer_k: float
    preload_n: float
    stack_l10h: float | None


def warmth_curve(stack: Stack, warmths_k: Sequence[float] = ()) -> tuple[WarmthPoint, ...]:
    """Return preload and basic life as mounted, over shaft warmths in K (rising; the usual range when none are given).

    What else is unknown stands in the middle of its range. Empty where heat and fits do not change the sharing (thrust
    rollers, springs), or the sharing is not known. Source: ``mounted`` (geometry, expansion, Lame); life by ISO 281.
    """
    steps = round((WARMEST_K - COLDEST_K) / STEP_K)
    asked = warmths_k or [COLDEST_K + STEP_K * step for step in range(steps + 1)]
    points = (_point(stack, warmer_k) for warmer_k in asked)
    found = [point for point in points if point is not None]
    return tuple(found) if len(found) == len(asked) else ()


def _point(stack: Stack, warmer_k: float) -> WarmthPoint | None:
    middle = Judgement(replace(stack, motor=replace(stack.motor, shaft_warmer_k=warmer_k))).middle
    warm = middle.warm_sharing
    if warm is None or not middle.mount.opposed:
        return None
    free = case_loads(middle.mount, warm, "running", 0.0)
    loads = [load for _ref, load in free.axial_loads() if load is not None]
    running = next((case for case in middle.judged_cases if case.name == "running"), None)
    life = None
    if running is not None and running.warm is not None and (found := middle.life_in(running, running.warm)):
        life = found.basic_h
    return WarmthPoint(warmer_k, max(loads, default=0.0), life)
