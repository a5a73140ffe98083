"""A run as it is read: each row with its verdict, and the chart of all of them with limits and what is stable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from bearings.public import (
    PAPER,
    SCREEN,
    ChartOptions,
    SeriesLine,
    SeriesMark,
    SeriesWords,
    Units,
    series_chart,
)
from repairs.measurements.engineering.limits import Limit
from repairs.measurements.engineering.shape import Answer, Row
from repairs.measurements.engineering.subjects.run_temperatures import COLUMNS, ENDS, point_verdict
from repairs.measurements.words.figures import Written
from repairs.measurements.words.run_temperatures import COLUMNS as NAMES

# Temperatures in the order in which they are told apart: the bearings first.
DRAWN: Final = ("run_top", "run_bottom", "run_winding", "run_oil", "run_ambient")
PLACES: Final = {one.code: at for at, one in enumerate(COLUMNS)}
AHEAD: Final = 60.0
WIDE: Final = 760.0


@dataclass(frozen=True, slots=True)
class RunPoint:
    """One row as it is read: its figures in the order of the columns, and its verdict against the limits."""

    cells: tuple[str, ...]
    verdict: str


def columns_of(rows: Iterable[Row], units: Units) -> list[tuple[str, str]]:
    """Return code and heading of the columns that have a figure; time always."""
    used = [
        one
        for one in COLUMNS
        if one.code == "run_minute" or any(_at(row, one.code) is not None for row in rows)
    ]
    write = Written(units)
    return [(one.code, f"{NAMES[one.code]} ({write.unit(one.quantity).name})") for one in used]


def points_of(rows: Sequence[Row], answer: Answer, units: Units) -> list[RunPoint]:
    """Return each row in the reader's units with its verdict."""
    write, limits = Written(units), limits_of(answer)
    shown = [one for one in COLUMNS if one.code in dict(columns_of(rows, units))]
    found = []
    for row in rows:
        cells = []
        for column in shown:
            value = _at(row, column.code)
            cells.append("–" if value is None else write.number(value, column.quantity))
        found.append(RunPoint(tuple(cells), point_verdict(row, limits)))
    return found


def limits_of(answer: Answer) -> dict[str, Limit | None]:
    """Return the limit that each result of a run is held to."""
    return {one.code: one.limit for one in answer.results}


def _at(row: Row, code: str) -> float | None:
    place = PLACES[code]
    return row[place] if place < len(row) else None


def run_chart(rows: Sequence[Row], answer: Answer, units: Units, *, paper: bool = False) -> SafeString:
    """Return the chart of a run; nothing where no temperature was read."""
    write = Written(units)
    unit = write.unit("temperature")
    lines = []
    for code in DRAWN:
        read = [(row[0] or 0.0, unit.from_si(value)) for row in rows if (value := _at(row, code)) is not None]
        if read:
            lines.append(SeriesLine(str(NAMES[code]), read))
    if not lines:
        return SafeString()
    since = next((one.value for one in answer.results if one.code == "stable_min"), None)
    moments = []
    if since is not None:
        words = _("stable from {minute}").format(minute=write.of(since, "minutes"))
        moments = [SeriesMark(words, since)]
    options = ChartOptions(id_prefix="run", width=WIDE, palette=PAPER if paper else SCREEN)
    told = SeriesWords(title=_("Run temperatures"), across=_("minutes since start"), up=unit.name)
    drawn = series_chart(
        lines,
        told,
        levels=_levels(rows, answer, write),
        moments=moments,
        reaches=AHEAD,
        options=options,
    )
    # Made by bearings.charts, which escapes every text.
    return mark_safe(drawn)


def _levels(rows: Sequence[Row], answer: Answer, write: Written) -> list[SeriesMark]:
    """Return the limits of temperature, and of rise over the last ambient; equal ones of both bearings once."""
    limits, unit = limits_of(answer), write.unit("temperature")
    ambient = next((value for row in reversed(rows) if (value := _at(row, "run_ambient")) is not None), None)
    found: dict[tuple[str, float], list[str]] = {}
    for end in ENDS:
        held, rise = limits.get(f"temp_{end}"), limits.get(f"rise_{end}")
        if held is not None and held.high is not None:
            found.setdefault(("temp", held.high), []).append(end)
        if rise is not None and rise.high is not None and ambient is not None:
            found.setdefault(("rise", ambient + rise.high), []).append(end)
    names: Mapping[tuple[str, bool], str] = {
        ("temp", True): _("Bearing limit"),
        ("temp", False): _("{bearing} limit"),
        ("rise", True): _("Rise limit"),
        ("rise", False): _("{bearing} rise limit"),
    }
    return [
        SeriesMark(
            f"{names[kind, len(ends) > 1].format(bearing=NAMES[f'run_{ends[0]}'])} {write.of(value, 'temperature')}",
            unit.from_si(value),
        )
        for (kind, value), ends in found.items()
    ]
