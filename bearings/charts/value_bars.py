"""Readings of one kind side by side, each with its own limit: vibration by point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from bearings.charts.axes import TYPE, ChartOptions, Frame, Scale, axis_across, chart_sheet, ticks
from bearings.charts.series import SeriesWords
from bearings.charts.speed import BAR, DROP, NAMES_WIDEST, ROW
from bearings.drawing.options import Palette
from bearings.drawing.strokes import hatching, line, polygon, rectangle, text_width, words, wrap

HEAD: Final = 12.0


@dataclass(frozen=True, slots=True)
class ValueBar:
    """One reading: its name, its words with unit and verdict, its value and its highest accepted one."""

    label: str
    text: str
    value: float | None
    most: float | None = None


def value_bars(bars: Sequence[ValueBar], told: SeriesWords, *, options: ChartOptions | None = None) -> str:
    """Return level bars from zero; one beyond its limit is hatched, one that was not read is empty and dashed.

    Raise ValueError without a bar.
    """
    if not bars:
        raise ValueError("bars: at least one is needed")
    options = options or ChartOptions()
    ends = [one for bar in bars for one in (bar.value, bar.most) if one is not None]
    values = ticks(0.0, max(ends, default=1.0) * 1.05 or 1.0)
    names = min(NAMES_WIDEST, max(text_width(bar.label, TYPE) for bar in bars)) + 18
    frame = Frame(
        Scale(values[0], values[-1], names, options.width - 24), Scale(0, 1, HEAD + ROW * len(bars) + 8, HEAD)
    )
    strokes = [axis_across(frame, values, told.across, options.palette)]
    strokes += [
        _bar(bar, HEAD + ROW * (index + 0.5), frame, options.palette) for index, bar in enumerate(bars)
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=told.title,
        story=". ".join([told.across, *(f"{bar.label}: {bar.text}" for bar in bars)]) + ".",
        options=options,
    )


def _bar(bar: ValueBar, middle: float, frame: Frame, palette: Palette) -> str:
    top, bottom = middle + DROP - BAR / 2, middle + DROP + BAR / 2
    end = frame.right if bar.value is None else frame.across.at(bar.value)
    corners = [(frame.left, top), (end, top), (end, bottom), (frame.left, bottom)]
    if bar.value is None:
        strokes = polygon(corners, "sheet", fill="none", stroke=palette.ink, width=1.2, dash="7 4")
    else:
        strokes = polygon(corners, "steel", fill=palette.steel, stroke=palette.ink, width=1.4)
        if bar.most is not None and bar.value > bar.most:
            strokes += hatching(corners, 8, -1, "hatch", stroke=palette.ink)
    if bar.most is not None:
        x = frame.across.at(bar.most)
        strokes += line((x, top - 4), (x, bottom + 4), "limit", stroke=palette.stop, pen=2.6)
    label = wrap(bar.label, TYPE, frame.left - 12, 1)[0]
    width = text_width(bar.text, TYPE - 1)
    return (
        strokes
        + words(frame.left - 10, middle + DROP + 5, label, "ink", fill=palette.ink, size=TYPE, anchor="end")
        + rectangle(
            frame.left + 2, middle - 20, width + 6, 18, "sheet", fill=palette.sheet, stroke="none", pen=0
        )
        + words(frame.left + 4, middle - 6, bar.text, "ink", fill=palette.ink, size=TYPE - 1)
    )
