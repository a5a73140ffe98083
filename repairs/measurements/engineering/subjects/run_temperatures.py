"""Temperatures of a run over time: stable or not, and rise and height of the bearings against their limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

from repairs.measurements.engineering.limits import ARITHMETIC, ENTERED, Limit
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Note,
    Param,
    Result,
    Row,
    Subject,
    Verdict,
    Working,
)
from repairs.measurements.engineering.steadiness import column, gaps, out_of_order, stable_since, steps
from repairs.measurements.engineering.tables import run_temperatures as table

COLUMNS: Final = (
    Field("run_minute", "minutes", 0, 100_000),
    Field("run_ambient", "temperature", -40, 80, needed=False),
    Field("run_top", "temperature", -40, 300, needed=False),
    Field("run_bottom", "temperature", -40, 300, needed=False),
    Field("run_winding", "temperature", -40, 300, needed=False),
    Field("run_oil", "temperature", -40, 300, needed=False),
    Field("run_amps", "current", 0, 100_000, needed=False),
    Field("run_vibration", "vibration", 0, 500, needed=False),
)
CODES: Final = tuple(one.code for one in COLUMNS)
WATCHED: Final = CODES[2:6]
ENDS: Final = ("top", "bottom")
KINDS: Final = ("rolling", "plate")
REASONS: Final = ("completed", "limit", "noise", "vibration", "power", "time_up", "leak", "other")
RATCHET: Final = ("held", "slipped", "none")
ROTATION: Final = ("ccw", "cw")
FIELDS: Final = (
    Field("top_kind", "choice", choices=KINDS, setting=True),
    Field("bottom_kind", "choice", choices=KINDS, setting=True),
    Field("uncoupled", "yes_no", needed=False, setting=True),
    # Without the thrust that its bearings ask for, a motor runs no longer than its maker allows: a lead says how long.
    Field("no_thrust_most", "minutes", 0.1, 100_000, needed=False, rule=True),
    Field("stopped", "choice", choices=REASONS, needed=False),
    Field("rotation_top", "choice", choices=ROTATION, needed=False),
    Field("ratchet", "choice", choices=RATCHET, needed=False),
    Field("temperatures", "series", columns=COLUMNS),
)
RESULTS: Final = {
    "rise_top": "temperature_difference",
    "rise_bottom": "temperature_difference",
    "temp_top": "temperature",
    "temp_bottom": "temperature",
    "stable_min": "minutes",
    "no_thrust_min": "minutes",
}
_WORST_FIRST: Final[tuple[Verdict, ...]] = ("fail", "not_checked", "pass")
# No bearing that runs on is so hot; degrees Fahrenheit were typed.
FAHRENHEIT_FROM_C: Final = 120.0


class Run(NamedTuple):
    """The readings by column, in order of time; without rows where time goes back."""

    minutes: tuple[float, ...]
    by: dict[str, tuple[float | None, ...]]
    broken_at: int | None = None

    @property
    def since(self) -> float | None:
        """Since when all that was read is stable at the end; None where it is not."""
        watched = [self.by[code] for code in WATCHED if any(one is not None for one in self.by[code])]
        return stable_since(self.minutes, watched, table.STABLE_MINUTES, table.STABLE_CHANGE_K)

    def rises(self, end: str) -> list[float | None]:
        pairs = zip(self.by[f"run_{end}"], self.by["run_ambient"], strict=True)
        return [None if at is None or ambient is None else at - ambient for at, ambient in pairs]


def read_run(entries: Entries) -> Run:
    """Read the series; nothing is made of one whose time goes back."""
    rows = entries.series("temperatures")
    broken = out_of_order(column(rows, 0))
    if broken is not None:
        return Run((), dict.fromkeys(CODES, ()), broken)
    by = {code: column(rows, at) for at, code in enumerate(CODES)}
    return Run(tuple(one for one in by["run_minute"] if one is not None), by)


def point_verdict(row: Row, limits: Mapping[str, Limit | None]) -> Verdict:
    """Return what one row says against the limits of the bearings' results; not checked where one is not known."""
    read = dict(zip(CODES, row, strict=False))
    verdicts: set[Verdict] = set()
    for end in ENDS:
        at, ambient = read.get(f"run_{end}"), read.get("run_ambient")
        if at is None:
            verdicts.add("not_checked")
            continue
        temperature, rise = limits.get(f"temp_{end}"), limits.get(f"rise_{end}")
        if temperature is None and rise is None:
            verdicts.add("not_checked")
        if temperature is not None:
            verdicts.add("pass" if temperature.holds(at) else "fail")
        if rise is not None:
            held = ambient is not None and rise.holds(at - ambient)
            verdicts.add("not_checked" if ambient is None else "pass" if held else "fail")
    return next(one for one in _WORST_FIRST if one in verdicts)


def _held(values: list[float | None], limit: Limit | None, *, stable: bool, last: bool) -> float | None:
    """Return the figure to judge: of a stable run the last or the greatest; of another only one that fails already."""
    read = [one for one in values if one is not None]
    if stable and values and values[-1] is not None:
        return values[-1] if last else max(read)
    if read and limit is not None and not limit.holds(max(read)):
        return max(read)
    return None


def _results(entries: Entries, machine: Machine, run: Run) -> Iterator[Result]:
    since = run.since
    for end in ENDS:
        limit = table.RISE_ROLLING if entries.choice(f"{end}_kind") == "rolling" else None
        value = _held(run.rises(end), limit, stable=since is not None, last=True)
        # A plate bearing is held to its temperature; no rise is asked of it.
        plate = entries.choice(f"{end}_kind") == "plate"
        yield Result(f"rise_{end}", "temperature_difference", value, limit, informs=plate)
    for end in ENDS:
        limit = {"rolling": table.ROLLING, "plate": table.PLATE}.get(entries.choice(f"{end}_kind") or "")
        value = _held(list(run.by[f"run_{end}"]), limit, stable=since is not None, last=False)
        yield Result(f"temp_{end}", "temperature", value, limit)
    yield Result("stable_min", "minutes", since, informs=since is not None)
    yield _no_thrust(entries, machine, run)


def _runs_unloaded(entries: Entries, machine: Machine) -> bool:
    """Whether a run leaves thrust bearings without their load: a vertical motor without its pump.

    Of a motor of which nobody said how it stands it is taken to.
    """
    return bool(entries.yes("uncoupled")) and machine.vertical is not False


def _no_thrust(entries: Entries, machine: Machine, run: Run) -> Result:
    """Return how long the motor ran without thrust. Nobody but its maker knows how long it may: no limit is made up."""
    most = entries.number("no_thrust_most")
    limit = None if most is None else Limit(None, most, table.NO_THRUST, "maker")
    unloaded = _runs_unloaded(entries, machine)
    ran = run.minutes[-1] if run.minutes and unloaded else None
    known = entries.yes("uncoupled") is not None or machine.vertical is False
    return Result(
        "no_thrust_min",
        "minutes",
        ran,
        limit if unloaded or not known else None,
        informs=known and not unloaded,
    )


def _notes(entries: Entries, machine: Machine, run: Run) -> Iterator[Note]:
    if run.broken_at is not None:
        yield Note("back_in_time", "warn", {"row": float(run.broken_at)})
    if run.minutes and run.since is None:
        yield Note("not_stable", "note", {"minute": run.minutes[-1]}, table.STABLE)
    for begin, end in gaps(run.minutes, table.STABLE_MINUTES):
        yield Note("gap", "note", {"from": begin, "to": end}, table.STABLE)
    for code in WATCHED if run.minutes else ():
        for minute, rise in steps(run.minutes, run.by[code], table.STEP_K, table.STEP_FASTER):
            yield Note("step", "warn", {"field": code, "minute": minute, "rise": rise}, table.PRACTICE)
        hottest = max((one for one in run.by[code] if one is not None), default=0.0)
        if hottest > FAHRENHEIT_FROM_C and code != "run_winding":
            meant = (hottest - 32) * 5 / 9
            yield Note("fahrenheit_typed", "doubt", {"field": code, "value": hottest, "as_c": meant})
    for place in ENDS:
        rises = [one for one in run.rises(place) if one is not None]
        if entries.yes("uncoupled") and rises and max(rises) > table.USUAL_NO_LOAD_K:
            params: dict[str, Param] = {
                "field": f"run_{place}",
                "rise": max(rises),
                "usual": table.USUAL_NO_LOAD_K,
            }
            yield Note("warm_for_no_load", "warn", params, table.PRACTICE)
    yield from _at_the_end(entries, machine, run)


def _at_the_end(entries: Entries, machine: Machine, run: Run) -> Iterator[Note]:
    """Yield why the run ended, and what was seen of rotation and ratchet."""
    reason = entries.choice("stopped")
    if reason == "time_up":
        yield Note("time_used_up", "note", {})
    elif reason == "completed" and run.minutes and run.since is None:
        yield Note("completed_not_stable", "doubt", {"minute": run.minutes[-1]})
    elif reason is not None and reason != "completed":
        yield Note("stopped_early", "warn", {"reason": reason})
    if _runs_unloaded(entries, machine) and entries.number("no_thrust_most") is None:
        yield Note("no_thrust_not_set", "note", {})
    turned = entries.choice("rotation_top")
    if turned is not None and machine.rotation not in ROTATION:
        yield Note("rotation_unknown", "note", {"turned": turned})
    elif turned is not None and turned != machine.rotation:
        yield Note("rotation_wrong", "stop", {"turned": turned, "plate": machine.rotation})
    if entries.choice("ratchet") == "slipped":
        yield Note("ratchet_slipped", "stop", {})


def _missing(entries: Entries, machine: Machine, run: Run) -> Iterator[Missing]:
    for end in ENDS:
        both = (f"rise_{end}", f"temp_{end}")
        for code in both if entries.choice(f"{end}_kind") is None else ():
            yield Missing(f"{end}_kind", code)
        for code in both if not run.minutes or run.by[f"run_{end}"][-1] is None else ():
            yield Missing(f"run_{end}", code)
        if not run.minutes or run.by["run_ambient"][-1] is None:
            yield Missing("run_ambient", f"rise_{end}")
    if not run.minutes:
        yield Missing("temperatures", "stable_min")
    if entries.yes("uncoupled") is None and machine.vertical is not False:
        yield Missing("uncoupled", "no_thrust_min")
    elif _runs_unloaded(entries, machine) and entries.number("no_thrust_most") is None:
        yield Missing("no_thrust_most", "no_thrust_min")


def _working(run: Run) -> Iterator[Working]:
    if not run.minutes:
        return
    yield Working("t", "given, last reading", run.minutes[-1], "min", ENTERED)
    yield Working("t stable", "change over 30 min at most 1 °C, from here on", run.since, "min", table.STABLE)
    for end in ENDS:
        yield Working(f"T {end}", "given, last reading", run.by[f"run_{end}"][-1], "°C", ENTERED)
        yield Working(f"rise {end}", "T - ambient, last reading", run.rises(end)[-1], "K", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    run = read_run(entries)
    return Answer(
        tuple(_results(entries, machine, run)),
        tuple(_notes(entries, machine, run)),
        tuple(_missing(entries, machine, run)),
        tuple(_working(run)),
    )


SUBJECT: Final = Subject("run_temperatures", FIELDS, RESULTS, _look)
