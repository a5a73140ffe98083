"""The history of a motor for office and bench: flags, charts with their tables, what changed from visit to visit."""

from __future__ import annotations

from typing import Any, Final

from django.utils.formats import date_format
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from bearings.public import (
    ChartOptions,
    SeriesMark,
    TrendAxis,
    TrendLine,
    Units,
    exact,
    trend_chart,
)
from repairs.measurements.history.reading import History, Visit, read_history
from repairs.measurements.history.repeats import bearing_rows, repeats_of
from repairs.measurements.history.trends import Trend, trends_of
from repairs.measurements.models import Reading
from repairs.measurements.observations.presenting import observation_words
from repairs.measurements.words.figures import Written
from repairs.motors.models import Motor
from repairs.motors.units import unit_words
from repairs.work_orders.differing import differences
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.warning_words import difference_text

DASH: Final = "–"


def history_context(motor: Motor, units: Units) -> dict[str, Any]:
    """Return everything that a page shows of a motor's visits."""
    history = read_history(motor)
    return {
        "visits": [visit_row(history, visit, units) for visit in reversed(history.visits)],
        "repeats": [{"severity": "warn", "title": text} for text in repeats_of(history)],
        "bearings": bearing_rows(history),
        "trends": [trend_row(one, history, units) for one in trends_of(history)],
    }


def trend_row(trend: Trend, history: History, units: Units) -> dict[str, Any]:
    """Return one chart, and the same figures as a table."""
    written = Written(units)
    visits = [visit for place, visit in enumerate(history.visits) if _measured(trend, place)]
    places = [history.visits.index(visit) for visit in visits]
    rows = [
        {
            "visit": visit,
            "day": day_words(visit),
            "cells": [_cell(one.cells[place], trend, written) for one in trend.series],
        }
        for visit, place in zip(visits, places, strict=True)
    ]
    return {
        "key": trend.key,
        "title": trend.title,
        "chart": _chart(trend, visits, places, written),
        "names": [str(one.name) for one in trend.series],
        "rows": rows,
        "limit": ", ".join(one.label for one in _limits(trend, written)),
    }


def _measured(trend: Trend, place: int) -> bool:
    return any(one.cells[place] is not None for one in trend.series)


def _cell(cell: Any, trend: Trend, written: Written) -> dict[str, Any]:
    if cell is None:
        return {"text": DASH, "failed": False}
    text = written.beside(cell.value, trend.quantity, trend.low, trend.high)
    return {"text": text, "failed": cell.verdict == Reading.Verdict.FAIL}


def _limits(trend: Trend, written: Written) -> list[SeriesMark]:
    unit = written.unit(trend.quantity)
    sides = ((_("min. {limit}"), trend.low), (_("max. {limit}"), trend.high))
    return [
        SeriesMark(words.format(limit=written.of(limit, trend.quantity)), unit.from_si(limit))
        for words, limit in sides
        if limit is not None
    ]


def _chart(trend: Trend, visits: list[Visit], places: list[int], written: Written) -> SafeString:
    unit = written.unit(trend.quantity)
    lines = []
    for one in trend.series:
        cells = [one.cells[place] for place in places]
        values = [None if cell is None else unit.from_si(cell.value) for cell in cells]
        lines.append(TrendLine(str(one.name), values))
    drawn = trend_chart(
        [(day_words(visit), visit.number) for visit in visits],
        lines,
        TrendAxis(f"{trend.title}, {unit_words(unit.name, written.units)}", trend.logarithmic),
        limits=_limits(trend, written),
        options=ChartOptions(id_prefix=f"trend-{trend.key.replace('_', '-')}"),
    )
    return mark_safe(drawn)  # made by bearings.charts, which escapes every text


def day_words(visit: Visit) -> str:
    return date_format(visit.day, "DATE_FORMAT")


def visit_row(history: History, visit: Visit, units: Units) -> dict[str, Any]:
    """Return what was found, used and replaced at one visit, and how the stack came back."""
    return {
        "visit": visit,
        "day": day_words(visit),
        "observed": [
            f"{words['part']}: {words['mode']}"
            for words in (observation_words(row) for row in history.observations if row.job_id == visit.pk)
        ],
        "used": [
            " · ".join(
                part for part in (f"{exact(row.quantity)} {row.unit} {row.name}", row.designation) if part
            )
            for row in history.used
            if row.job_id == visit.pk
        ],
        "gone": [
            f"{row.name}: {row.get_disposition_display()}" for row in history.gone if row.job_id == visit.pk
        ],
        "came_back": came_back(history, visit, units),
    }


def came_back(history: History, visit: Visit, units: Units) -> dict[str, Any] | None:
    """Say how the stack as found now differs from the one as built on the visit before; None without both."""
    found = history.newest_stack(visit, Stage.AS_FOUND)
    before = _built_before(history, visit)
    if found is None or before is None:
        return None
    earlier, built = before
    told: dict[str, Any] = {"earlier": earlier, "rows": [], "problem": "", "signed": found.is_frozen}
    try:
        told["rows"] = [difference_text(row, units) for row in differences(built, found, seen_only=True)]
    except ValueError:
        told["problem"] = _("Not compared: one of the two records is incomplete.")
    return told


def _built_before(history: History, visit: Visit) -> tuple[Visit, StackRecord] | None:
    """Return the newest stack that was built and signed on an earlier visit that has ended."""
    for earlier in reversed(history.visits[: history.visits.index(visit)]):
        built = history.newest_stack(earlier, Stage.AS_BUILT)
        if built is not None and built.is_frozen and not earlier.is_open:
            return earlier, built
    return None
