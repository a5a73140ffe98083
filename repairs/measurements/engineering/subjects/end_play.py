"""End play under a gauge load, dial readings repeated; rotor lift."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.limits import ARITHMETIC, ENTERED
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Note,
    Result,
    Subject,
    Working,
)
from repairs.measurements.engineering.tables import end_play as table

REPEATS: Final = range(1, table.REPEATS + 1)
# Nothing that is assembled has more; thousandths were typed.
MILS_TYPED_FROM_MM: Final = 2.54
FIELDS: Final = (
    Field("method", "choice", choices=("jack", "hoist", "lever"), needed=False, setting=True),
    Field("load_down_n", "force", 0, 1e6, needed=False),
    Field("load_up_n", "force", 0, 1e6, needed=False),
    Field("rotor_weight_apart", "yes_no", needed=False),
    Field("thrust_bearing", "choice", choices=tuple(table.TYPICAL), needed=False, setting=True),
    *(
        Field(f"{way}_{at}", "small_length", -100, 100, needed=at == 1)
        for at in REPEATS
        for way in ("down", "up")
    ),
    Field("lift_mm", "small_length", 0, 100, needed=False),
)


def _travels(entries: Entries) -> list[float]:
    """Return how far the dial moved in each repeat that was read both ways, with its sign. [mm]"""
    pairs = (entries.numbers(f"down_{at}", f"up_{at}") for at in REPEATS)
    return [pair[1] - pair[0] for pair in pairs if pair is not None]


def _mixed(travels: list[float]) -> bool:
    return bool(travels) and min(travels) < 0 < max(travels)


def _spread(travels: list[float]) -> float | None:
    return max(travels) - min(travels) if len(travels) > 1 and not _mixed(travels) else None


def end_play(travels: list[float]) -> float | None:
    """Return the mean travel; None without one, and where the dial moved one way and then the other."""
    return abs(sum(travels) / len(travels)) if travels and not _mixed(travels) else None


def _notes(entries: Entries, travels: list[float], mean: float | None) -> Iterator[Note]:
    if _mixed(travels):
        yield Note("turned_around", "doubt", {"low": min(travels), "high": max(travels)})
    spread = _spread(travels)
    if mean is not None and spread is not None and spread > max(table.SPREAD_MM, table.SPREAD_SHARE * mean):
        yield Note("repeats_differ", "warn", {"spread": spread, "mean": mean}, table.PRACTICE)
    if mean is not None and len(travels) < table.REPEATS:
        yield Note("few_repeats", "note", {"count": float(len(travels))}, table.PRACTICE)
    if mean is not None and mean > MILS_TYPED_FROM_MM:
        yield Note("mils_typed", "doubt", {"value": mean, "as_mm": mean / 1000})
    loads = entries.numbers("load_down_n", "load_up_n")
    if mean is not None and (loads is None or entries.yes("rotor_weight_apart") is None):
        yield Note("not_comparable", "note", {})
    if (typical := table.TYPICAL.get(entries.choice("thrust_bearing") or "")) is not None:
        yield Note("typical", "note", {"low": typical[0], "high": typical[1]}, typical[2])


def _working(entries: Entries, travels: list[float], mean: float | None) -> Iterator[Working]:
    for code in ("load_down_n", "load_up_n"):
        if (load := entries.number(code)) is not None:
            yield Working("G down" if code == "load_down_n" else "G up", "given", load, "N", ENTERED)
    for at, travel in enumerate(travels, 1):
        yield Working(f"E {at}", "up - down", travel, "mm", ARITHMETIC)
    if mean is not None:
        yield Working("E", "|mean of E 1 ...|", mean, "mm", ARITHMETIC)
    if (spread := _spread(travels)) is not None:
        yield Working("spread", "max - min of E 1 ...", spread, "mm", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    travels = _travels(entries)
    mean = end_play(travels)
    missing = [
        Missing(code, "end_play")
        for code in ("down_1", "up_1")
        if not travels and entries.number(code) is None
    ]
    return Answer(
        (
            Result("end_play", "small_length", mean),
            Result("end_play_spread", "small_length", _spread(travels), informs=True),
            Result("rotor_lift", "small_length", entries.number("lift_mm"), informs=True),
        ),
        tuple(_notes(entries, travels, mean)),
        tuple(missing),
        tuple(_working(entries, travels, mean)),
    )


SUBJECT: Final = Subject(
    code="end_play",
    fields=FIELDS,
    results=dict.fromkeys(("end_play", "end_play_spread", "rotor_lift"), "small_length"),
    look=_look,
)
