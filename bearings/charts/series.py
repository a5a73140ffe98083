"""Readings over time or frequency: lines named at their ends, limits dashed, moments marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
    level_margin,
    ticks,
)
from bearings.drawing.layout import spread
from bearings.drawing.options import Palette
from bearings.drawing.strokes import line, number, words

HEIGHT: Final = 280.0
ROW: Final = 18.0
# A line is told from its neighbors without color, also on a laser printer.
DASHES: Final = ("", "2 4", "10 3", "12 4 2 4", "5 5")


@dataclass(frozen=True, slots=True)
class SeriesLine:
    """One line: its name and its points (across rising); where nothing was read there is no point."""

    label: str
    points: Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class SeriesMark:
    """A limit, a moment or a frequency that was looked for: its words, where it stands, whether it weighs."""

    label: str
    at: float
    strong: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesWords:
    """What stands on the axes, and what the chart is called."""

    title: str
    across: str
    up: str


def series_chart(
    lines: Sequence[SeriesLine],
    told: SeriesWords,
    *,
    levels: Sequence[SeriesMark] = (),
    moments: Sequence[SeriesMark] = (),
    reaches: float | None = None,
    options: ChartOptions | None = None,
) -> str:
    """Return lines over time with their limits; ``reaches``: how far the axis goes at least. All in the reader's units.

    Raise ValueError where no line has a point.
    """
    points = [point for one in lines for point in one.points]
    if not points:
        raise ValueError("lines: at least one point is needed")
    options = options or ChartOptions()
    heights = [y for _x, y in points] + [one.at for one in levels]
    furthest = max(
        [x for x, _y in points] + [one.at for one in moments] + ([reaches] if reaches is not None else [])
    )
    across = ticks(min(0.0, *(x for x, _y in points)), furthest, 7)
    up = ticks(min(heights), max(heights), 6)
    right = options.width - level_margin([*(one.label for one in lines), *(one.label for one in levels)])
    scale = Scale(across[0], across[-1], 64, right)
    ordered = sorted(moments, key=lambda one: one.at)
    labels = label_levels([(scale.at(one.at), one.label) for one in ordered], options.width - 4)
    head = 44 + ROW * (1 + max((level for _start, level in labels), default=-1))
    frame = Frame(scale, Scale(up[0], up[-1], head + HEIGHT, head))
    strokes = [
        axis_across(frame, across, told.across, options.palette),
        axis_up(frame, up, told.up, options.palette),
        _moments(ordered, labels, frame, options.palette),
        drawn_levels(levels, frame, options.palette),
        *(drawn_line(one, place, frame, options.palette) for place, one in enumerate(lines) if one.points),
        drawn_names(lines, levels, frame, options.palette),
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=told.title,
        story=_story(lines, levels, moments, told),
        options=options,
    )


def drawn_line(one: SeriesLine, place: int, frame: Frame, palette: Palette) -> str:
    """Return a line through its points, each with a dot; ``place`` among the lines decides its dash."""
    places = [(frame.across.at(x), frame.up.at(y)) for x, y in one.points]
    path = "L".join(f"{number(x)} {number(y)}" for x, y in places)
    dash = DASHES[place % len(DASHES)]
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    dots = "".join(
        f'<circle class="dot" cx="{number(x)}" cy="{number(y)}" r="3" fill="{palette.ink}"/>'
        for x, y in places
    )
    return (
        f'<path class="curve" d="M{path}" fill="none" stroke="{palette.ink}" stroke-width="2.2" '
        f'stroke-linejoin="round"{dashes}/>{dots}'
    )


def drawn_levels(levels: Sequence[SeriesMark], frame: Frame, palette: Palette) -> str:
    """Return the limits as dashed level lines."""
    return "".join(
        line(
            (frame.left, frame.up.at(one.at)),
            (frame.right, frame.up.at(one.at)),
            "limit",
            stroke=palette.stop,
            pen=1.8,
            dash="7 4",
        )
        for one in levels
    )


def drawn_names(
    lines: Sequence[SeriesLine], levels: Sequence[SeriesMark], frame: Frame, palette: Palette
) -> str:
    """Write the names of lines and limits to the right, apart from each other, each led to its end."""
    named: list[tuple[float, float, str, bool]] = [
        (one.points[-1][0], one.points[-1][1], one.label, False) for one in lines if one.points
    ]
    named += [(frame.across.high, one.at, one.label, True) for one in levels]
    named.sort(key=lambda one: -one[1])
    places = [frame.up.at(one[1]) for one in named]
    strokes = []
    for (x, _y, name, limit), y, y_words in zip(
        named, places, spread(places, [ROW] * len(places)), strict=True
    ):
        css, ink = ("limit", palette.stop) if limit else ("grid", palette.hairline)
        start, elbow = frame.across.at(x), frame.right + 2
        if start < elbow - 4:
            strokes.append(line((start, y), (elbow, y), css, stroke=ink, pen=0.8))
        strokes.append(line((elbow, y), (frame.right + 10, y_words), css, stroke=ink, pen=1))
        strokes.append(
            words(
                frame.right + 14,
                y_words + 5,
                name,
                "ink",
                fill=palette.ink,
                size=TYPE - 1,
                weight=600 if limit else 400,
            )
        )
    return "".join(strokes)


def _moments(
    moments: Sequence[SeriesMark], labels: Sequence[tuple[float, int]], frame: Frame, palette: Palette
) -> str:
    strokes = []
    for one, (start, level) in zip(moments, labels, strict=True):
        x, y = frame.across.at(one.at), frame.top - 6 - ROW * level
        strokes.append(line((x, y - 11), (x, frame.bottom), "axis", stroke=palette.ink, pen=1.4))
        strokes.append(words(start, y, one.label, "ink", fill=palette.ink, size=TYPE - 1, weight=600))
    return "".join(strokes)


def _story(
    lines: Sequence[SeriesLine],
    levels: Sequence[SeriesMark],
    moments: Sequence[SeriesMark],
    told: SeriesWords,
) -> str:
    sentences = [f"{told.across}; {told.up}"]
    for one in lines:
        if one.points:
            (x0, y0), (x1, y1) = one.points[0], one.points[-1]
            first, last = (f"{figure(round(x, 1))}: {figure(round(y, 2))}" for x, y in ((x0, y0), (x1, y1)))
            sentences.append(f"{one.label} {first} – {last}")
    sentences += [one.label for one in levels]
    sentences += [one.label for one in moments]
    return ". ".join(sentences) + "."
