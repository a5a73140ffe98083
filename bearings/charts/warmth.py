"""One figure of a set against how much warmer than its housing the shaft runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from bearings.charts.axes import (
    TYPE,
    ChartOptions,
    Frame,
    Scale,
    axis_across,
    axis_up,
    chart_sheet,
    curve_through,
    decades,
    figure,
    level_lines,
    level_margin,
    ticks,
)
from bearings.drawing.strokes import line, text_width, words

HEIGHT: Final = 240.0
HEAD: Final = 60.0


@dataclass(frozen=True, slots=True)
class WarmthLevel:
    """A value to be kept, with its words: a limit of life, a share of a rating."""

    label: str
    value: float


@dataclass(frozen=True, slots=True)
class WarmthAxis:
    """What stands upward: its words, and whether it grows by powers of ten."""

    title: str
    logarithmic: bool = False


def warmth_chart(
    warmths: Sequence[float],
    values: Sequence[float],
    axis: WarmthAxis,
    *,
    warmth_unit: str = "K",
    entered: float | None = None,
    levels: Sequence[WarmthLevel] = (),
    options: ChartOptions | None = None,
) -> str:
    """Return a value against warmth (rising, both in the reader's units), the entered warmth marked, levels dashed."""
    if len(warmths) < 2 or len(warmths) != len(values):
        message = f"{len(warmths)} warmths and {len(values)} values; at least 2 of each, as many of both"
        raise ValueError(message)
    options = options or ChartOptions()
    palette = options.palette
    heights = [*values, *(level.value for level in levels)]
    up = decades(min(heights), max(heights)) if axis.logarithmic else ticks(0.0, max(*heights, 1e-9), 5)
    across = ticks(warmths[0], warmths[-1], 6)
    frame = Frame(
        Scale(across[0], across[-1], 92, options.width - level_margin(level.label for level in levels)),
        Scale(up[0], up[-1], HEAD + HEIGHT, HEAD, logarithmic=axis.logarithmic),
    )
    title = _("shaft warmer than the housing, %(unit)s") % {"unit": warmth_unit}
    strokes = [
        axis_across(frame, across, title, palette),
        axis_up(frame, up, axis.title, palette),
        level_lines([(level.label, level.value) for level in levels], frame, palette),
        curve_through(warmths, values, frame, palette),
        _entered(entered, warmth_unit, frame, options),
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("%(what)s vs. shaft temperature") % {"what": axis.title},
        story=_story(warmths, values, warmth_unit, levels),
        options=options,
    )


def _entered(entered: float | None, unit: str, frame: Frame, options: ChartOptions) -> str:
    """Mark the warmth that was entered, its words on the side where there is room."""
    if entered is None or not frame.across.low <= entered <= frame.across.high:
        return ""
    x, palette = frame.across.at(entered), options.palette
    text = _("entered %(warmth)s %(unit)s") % {"warmth": figure(round(entered, 1)), "unit": unit}
    fits = x + 6 + text_width(text, TYPE - 1) < options.width - 4
    label = words(
        x + 5 if fits else x - 5, frame.top - 8, text, "ink", fill=palette.ink, size=TYPE - 1, weight=600,
        anchor="start" if fits else "end",
    )  # fmt: skip
    return line((x, frame.top - 19), (x, frame.bottom), "axis", stroke=palette.ink, pen=1.1) + label


def _story(
    warmths: Sequence[float], values: Sequence[float], unit: str, levels: Sequence[WarmthLevel]
) -> str:
    ends = ((warmths[0], values[0]), (warmths[-1], values[-1]))
    sentences = [f"{figure(round(warmth, 1))} {unit}: {figure(round(value))}" for warmth, value in ends]
    return ". ".join([*sentences, *(level.label for level in levels)]) + "."
