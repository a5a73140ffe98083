"""Readings over visits, evenly spaced whatever time lies between; what was not measured has no dot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from django.utils.translation import gettext as _

from bearings.charts.axes import (
    TYPE,
    ChartOptions,
    Frame,
    Scale,
    axis_up,
    chart_sheet,
    decades,
    figure,
    level_margin,
    ticks,
)
from bearings.charts.series import SeriesLine, SeriesMark, drawn_levels, drawn_line, drawn_names
from bearings.drawing.options import Palette
from bearings.drawing.strokes import line, text_width, words

HEIGHT: Final = 220.0
HEAD: Final = 44.0
LEFT: Final = 76.0
# Between the words of two visits.
GAP: Final = 14.0
ROW: Final = 18.0


@dataclass(frozen=True, slots=True)
class TrendLine:
    """One measuring point: its name, and its value at each visit; None where it was not measured."""

    name: str
    values: Sequence[float | None]


@dataclass(frozen=True, slots=True)
class TrendAxis:
    """What the values are, with their unit; ``logarithmic`` where they grow by powers of ten."""

    title: str
    logarithmic: bool = False


def trend_chart(
    visits: Sequence[tuple[str, str]],
    lines: Sequence[TrendLine],
    axis: TrendAxis,
    *,
    limits: Sequence[SeriesMark] = (),
    options: ChartOptions | None = None,
) -> str:
    """Return values over visits (day and job), oldest first, all in the reader's units.

    Raise ValueError without a visit or a value, or where a line has not one value for each visit.
    """
    shown = [value for one in lines for value in one.values if value is not None]
    if not visits or not shown or any(len(one.values) != len(visits) for one in lines):
        message = f"{len(visits)} visits, {len(shown)} values: at least one, and as many places in each line"
        raise ValueError(message)
    options = options or ChartOptions()
    palette = options.palette
    up, logarithmic = _heights([*shown, *(one.at for one in limits)], axis)
    right = options.width - level_margin([*(one.name for one in lines), *(one.label for one in limits)])
    # Half a place to the left of the first visit and to the right of the last: their words are not cut.
    frame = Frame(
        Scale(-0.5, len(visits) - 0.5, LEFT, right),
        Scale(up[0], up[-1], HEAD + HEIGHT, HEAD, logarithmic=logarithmic),
    )
    series = [
        SeriesLine(
            one.name,
            [(float(place), value) for place, value in enumerate(one.values) if value is not None],
        )
        for one in lines
    ]
    strokes = [
        axis_up(frame, up, axis.title, palette),
        _visits(visits, frame, palette),
        drawn_levels(limits, frame, palette),
        *(drawn_line(one, place, frame, palette) for place, one in enumerate(series) if one.points),
        drawn_names(series, limits, frame, palette),
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("%(what)s over visits") % {"what": axis.title},
        story=_story(visits, lines, limits),
        options=options,
    )


def _heights(values: Sequence[float], axis: TrendAxis) -> tuple[list[float], bool]:
    """Return ticks that hold every value. Zero has no power of ten; a plain axis holds zero, so that nothing swells."""
    if axis.logarithmic and min(values) > 0:
        return decades(min(values), max(values)), True
    return ticks(min(0.0, *values), max(0.0, *values), 5), False


def _visits(visits: Sequence[tuple[str, str]], frame: Frame, palette: Palette) -> str:
    """Return the lower axis: day and job under each visit, under every so many where they would touch."""
    widest = max(text_width(text, TYPE - 1) for pair in visits for text in pair) + GAP
    apart = frame.across.at(1.0) - frame.across.at(0.0) if len(visits) > 1 else widest
    step = max(1, ceil(widest / max(apart, 1.0)))
    strokes = [
        line((frame.left, frame.bottom), (frame.right, frame.bottom), "axis", stroke=palette.ink, pen=1.6)
    ]
    for place, pair in enumerate(visits):
        x = frame.across.at(place)
        # The newest visit always has its words; the others are counted from it.
        named = (len(visits) - 1 - place) % step == 0
        end = frame.bottom + (6 if named else 0)
        strokes.append(line((x, frame.top), (x, end), "grid", stroke=palette.hairline, pen=0.8))
        for row, text in enumerate(pair if named else ()):
            y = frame.bottom + 20 + ROW * row
            strokes.append(words(x, y, text, "ink", fill=palette.ink, size=TYPE - 1, anchor="middle"))
    return "".join(strokes)


def _story(
    visits: Sequence[tuple[str, str]], lines: Sequence[TrendLine], limits: Sequence[SeriesMark]
) -> str:
    told = []
    for one in lines:
        values = zip(visits, one.values, strict=True)
        told.append(
            f"{one.name}: " + ", ".join(f"{job} {figure(at)}" for (_day, job), at in values if at is not None)
        )
    return ". ".join([*told, *(one.label for one in limits)]) + "."
