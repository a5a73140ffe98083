"""The rows of trial runs and of residual tests, read into what balancing computes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from repairs.measurements.engineering.balancing import Influence, one_plane, residual, two_planes, vector
from repairs.measurements.engineering.shape import Entries, Field, Note, Param, Row
from repairs.measurements.engineering.tables import balance as table

COLUMNS = (
    Field("run_plane", "plain", 0, 2),
    Field("run_trial", "unbalance", 0, 1e9, needed=False),
    Field("run_trial_deg", "angle", -360, 360, needed=False),
    Field("run_v1", "vibration", 0, 500),
    Field("run_v1_deg", "angle", -360, 360),
    Field("run_v2", "vibration", 0, 500, needed=False),
    Field("run_v2_deg", "angle", -360, 360, needed=False),
)
TEST_COLUMNS = (Field("test_deg", "angle", -360, 360), Field("test_reading", "plain", 0, 1e9))


class Trials(NamedTuple):
    """What trial runs say: influence, unbalance before, unbalance after the last correction."""

    influence: Influence | None = None
    before: tuple[complex, complex] | None = None
    after: tuple[complex, complex] | None = None
    notes: tuple[Note, ...] = ()


class _Run(NamedTuple):
    plane: int
    trial: complex
    seen: tuple[complex, complex]


def trial_runs(entries: Entries, planes: str | None) -> Trials:
    """Read the runs: the first without a weight, one with a weight in each plane, the last without a weight again."""
    rows = entries.series("runs")
    if not rows or planes is None:
        return Trials()
    read = [_run(row, two=planes == "two") for row in rows]
    notes = [Note("row_incomplete", "warn", {"row": at}) for at, one in enumerate(read, 1) if one is None]
    runs = [one for one in read if one is not None]
    bare = [one for one in runs if one.plane == 0]
    tried = {one.plane: one for one in runs if one.plane}
    wanted = (1, 2) if planes == "two" else (1,)
    if not bare or any(plane not in tried for plane in wanted):
        return Trials(notes=(*notes, Note("runs_missing", "note", {"planes": planes})))
    notes += _weak(bare[0], tried, wanted)
    first = bare[0].seen
    if planes == "two":
        influence = two_planes(first, tried[1].seen, tried[2].seen, (tried[1].trial, tried[2].trial))
    else:
        influence = one_plane(first[0], tried[1].seen[0], tried[1].trial)
    before = influence.unbalance(*first)
    if before is None or (planes == "two" and not influence.two_planes):
        return Trials(notes=(*notes, Note("planes_alike", "warn", {"planes": planes}, table.VECTORS)))
    after = influence.unbalance(*bare[-1].seen) if len(bare) > 1 else None
    return Trials(influence, before, after, tuple(notes))


def _run(row: Row, *, two: bool) -> _Run | None:
    plane, amount, at, v1, v1_deg, v2, v2_deg = (*row, *(None,) * 7)[:7]
    if plane not in (0, 1, 2) or v1 is None or v1_deg is None:
        return None
    if two and (v2 is None or v2_deg is None):
        return None
    if plane and (not amount or at is None):
        return None
    trial = vector(amount, at) if amount and at is not None else 0j
    return _Run(int(plane), trial, (vector(v1, v1_deg), vector(v2 or 0.0, v2_deg or 0.0)))


def _weak(first: _Run, tried: dict[int, _Run], wanted: tuple[int, ...]) -> Iterator[Note]:
    for plane in wanted:
        sensor = plane - 1
        change, was = abs(tried[plane].seen[sensor] - first.seen[sensor]), abs(first.seen[sensor])
        if change < table.LEAST_EFFECT * was:
            params: dict[str, Param] = {"plane": "AB"[sensor], "percent": 100 * change / was}
            yield Note("trial_weak", "warn", params, table.PRACTICE)


def residual_test(entries: Entries, plane: str) -> tuple[tuple[float, float] | None, tuple[Note, ...]]:
    """Return amount and angle that a residual test of one plane found, and what is to say of it."""
    rows = [(row[0], row[1]) for row in entries.series(f"test_{plane}") if len(row) > 1]
    readings = [(at, read) for at, read in rows if at is not None and read is not None]
    known = entries.numbers(f"test_{plane}_weight", f"test_{plane}_bare")
    if not readings or known is None:
        return None, ()
    notes = []
    if len(readings) < table.LEAST_POSITIONS:
        params: dict[str, Param] = {"plane": plane.upper(), "count": float(len(readings))}
        notes.append(Note("few_positions", "note", params, table.PRACTICE))
    found = residual(known[0], known[1], readings)
    if found is None:
        return None, (*notes, Note("test_unclear", "warn", {"plane": plane.upper()}, table.RESIDUAL_TEST))
    if found[0] > table.GREATEST_OF_TRIAL * known[0]:
        params = {"plane": plane.upper(), "weight": known[0], "value": found[0]}
        notes.append(Note("weight_light", "warn", params, table.PRACTICE))
    return found, tuple(notes)
