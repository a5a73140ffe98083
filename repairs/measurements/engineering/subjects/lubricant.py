"""Oil of both sumps against the plate and the mark, grease of a guide bearing."""

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
from repairs.measurements.engineering.tables import lubricant as table

SUMPS: Final = ("top", "bottom")
LEVELS: Final = ("at_mark", "above_mark", "below_mark")
FIELDS: Final = (
    *(
        field
        for sump in SUMPS
        for field in (
            Field(f"{sump}_capacity_l", "volume", 0.01, 5000, needed=False),
            Field(f"{sump}_oil_l", "volume", 0, 5000, needed=False),
            Field(f"{sump}_level", "choice", choices=LEVELS, needed=False),
        )
    ),
    Field("plate_vg", "plain", 2, 3200, needed=False),
    Field("filled_vg", "plain", 2, 3200, needed=False),
    Field("guide_outside_mm", "length", 3, 3000, needed=False),
    Field("guide_width_mm", "length", 1, 1000, needed=False),
    Field("guide_grease_g", "small_mass", 0, 50_000, needed=False),
    Field("guide_cavity_l", "volume", 0.001, 100, needed=False),
)
RESULTS: Final = {
    "oil_top": "volume",
    "oil_bottom": "volume",
    "guide_grease": "small_mass",
    "guide_cavity": "percent",
}


def _share(entries: Entries) -> float | None:
    pair = entries.numbers("guide_grease_g", "guide_cavity_l")
    return None if pair is None or pair[1] <= 0 else table.share(*pair)


def _rule(entries: Entries) -> float | None:
    size = entries.numbers("guide_outside_mm", "guide_width_mm")
    return None if size is None else table.by_rule(*size)


def _notes(entries: Entries) -> Iterator[Note]:
    for sump in SUMPS:
        pair = entries.numbers(f"{sump}_oil_l", f"{sump}_capacity_l")
        if pair is not None and abs(pair[0] - pair[1]) > table.DIFFERS_PERCENT / 100 * pair[1]:
            params = {"sump": sump, "value": pair[0], "capacity": pair[1]}
            yield Note("oil_differs", "warn", {**params}, table.PRACTICE)
        level = entries.choice(f"{sump}_level")
        if level in ("above_mark", "below_mark"):
            yield Note(level, "warn", {"sump": sump}, table.PRACTICE)
        if level is None and entries.number(f"{sump}_oil_l") is not None:
            yield Note("level_unknown", "note", {"sump": sump})
    grades = entries.numbers("plate_vg", "filled_vg")
    if grades is not None and grades[0] != grades[1]:
        yield Note("grade_differs", "warn", {"plate": grades[0], "filled": grades[1]})
    if (rule := _rule(entries)) is not None:
        yield Note("by_rule", "note", {"value": rule}, table.RULE_SOURCE)
    if (share := _share(entries)) is not None:
        yield Note("cavity_usual", "note", {"value": table.CAVITY_SHARE}, table.CAVITY_SOURCE)
        if share > 100:
            yield Note("over_full", "doubt", {"value": share})
        elif share > table.FULL_PERCENT:
            yield Note("too_full", "warn", {"value": share}, table.PRACTICE)


def _missing(entries: Entries) -> Iterator[Missing]:
    for sump in SUMPS:
        if entries.number(f"{sump}_oil_l") is not None and entries.number(f"{sump}_capacity_l") is None:
            yield Missing(f"{sump}_capacity_l", f"oil_{sump}")
    if entries.number("guide_grease_g") is not None and entries.number("guide_cavity_l") is None:
        yield Missing("guide_cavity_l", "guide_cavity")


def _working(entries: Entries) -> Iterator[Working]:
    if (rule := _rule(entries)) is not None:
        yield Working("D", "given", entries.number("guide_outside_mm"), "mm", ENTERED)
        yield Working("B", "given", entries.number("guide_width_mm"), "mm", ENTERED)
        yield Working("G", "0.005 D B", rule, "g", table.RULE_SOURCE)
    if (share := _share(entries)) is not None:
        yield Working("G", "given", entries.number("guide_grease_g"), "g", ENTERED)
        yield Working("V", "given", entries.number("guide_cavity_l"), "l", ENTERED)
        yield Working("density", "usual of grease", table.DENSITY, "g/ml", table.PRACTICE)
        yield Working("share", "100 G / (1000 V density)", share, "%", ARITHMETIC)


def _look(entries: Entries, machine: Machine) -> Answer:
    # No standard limits a quantity: they are recorded; the plate's figure and the mark speak in notes.
    values = {
        "oil_top": entries.number("top_oil_l"),
        "oil_bottom": entries.number("bottom_oil_l"),
        "guide_grease": entries.number("guide_grease_g"),
        "guide_cavity": _share(entries),
    }
    results = tuple(Result(code, RESULTS[code], value, informs=True) for code, value in values.items())
    return Answer(results, tuple(_notes(entries)), tuple(_missing(entries)), tuple(_working(entries)))


SUBJECT: Final = Subject("lubricant", FIELDS, RESULTS, _look)
