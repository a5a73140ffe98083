"""Peaks of a spectrum as sticks, with the frequencies at which somebody looked for them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bearings.charts.axes import (
    TYPE,
    ChartOptions,
    Frame,
    Scale,
    axis_across,
    axis_up,
    chart_sheet,
    figure,
    label_levels,
    ticks,
)
from bearings.charts.series import SeriesMark, SeriesWords
from bearings.drawing.options import Palette
from bearings.drawing.strokes import line, words

HEIGHT: Final = 260.0
ROW: Final = 18.0


def stick_chart(
    sticks: Sequence[tuple[float, float]],
    marks: Sequence[SeriesMark],
    told: SeriesWords,
    *,
    low: float,
    high: float,
    options: ChartOptions | None = None,
) -> str:
    """Return sticks over a range, the marks dashed through them; a strong mark, one with a peak, is drawn solid.

    Sticks beyond ``high`` are not drawn. Raise ValueError for a range that is none.
    """
    if not low < high:
        message = f"range {low} to {high}: the end is not above the beginning"
        raise ValueError(message)
    options = options or ChartOptions()
    shown = [(x, y) for x, y in sticks if low <= x <= high]
    across = [one for one in ticks(low, high, 8) if low <= one <= high * (1 + 1e-9)]
    up = ticks(0.0, max([y for _x, y in shown], default=1.0) or 1.0, 5)
    scale = Scale(low, high, 64, options.width - 24)
    placed = sorted((one for one in marks if low <= one.at <= high), key=lambda one: one.at)
    labels = label_levels([(scale.at(one.at), one.label) for one in placed], options.width - 4)
    head = 44 + ROW * (1 + max((level for _start, level in labels), default=-1))
    frame = Frame(scale, Scale(up[0], up[-1], head + HEIGHT, head))
    strokes = [
        axis_across(frame, across, told.across, options.palette),
        axis_up(frame, up, told.up, options.palette),
        _marks(placed, labels, frame, options.palette),
        *(
            line(
                (frame.across.at(x), frame.bottom),
                (frame.across.at(x), frame.up.at(y)),
                "curve",
                stroke=options.palette.ink,
                pen=2.2,
            )
            for x, y in shown
        ),
    ]
    story = [f"{told.across}; {told.up}", *(f"{figure(round(x, 2))}: {figure(y)}" for x, y in shown[:20])]
    story += [f"{one.label} {figure(round(one.at, 2))}" for one in placed]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=told.title,
        story=". ".join(story) + ".",
        options=options,
    )


def _marks(
    marks: Sequence[SeriesMark], labels: Sequence[tuple[float, int]], frame: Frame, palette: Palette
) -> str:
    strokes = []
    for one, (start, level) in zip(marks, labels, strict=True):
        x, y = frame.across.at(one.at), frame.top - 6 - ROW * level
        strokes.append(
            line(
                (x, y - 11),
                (x, frame.bottom),
                "limit",
                stroke=palette.stop,
                pen=2.6 if one.strong else 1.2,
                dash="" if one.strong else "5 5",
            )
        )
        strokes.append(
            words(
                start,
                y,
                one.label,
                "ink",
                fill=palette.ink,
                size=TYPE - 1,
                weight=700 if one.strong else 400,
            )
        )
    return "".join(strokes)
