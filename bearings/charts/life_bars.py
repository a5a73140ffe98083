"""Lives of candidates side by side, with the lives that are asked for."""

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
    chart_sheet,
    decades,
    label_levels,
)
from bearings.charts.life import LifeLimit, hours_text
from bearings.charts.speed import BAR, DROP, LINE, NAMES_WIDEST, ROW
from bearings.drawing.options import Palette
from bearings.drawing.strokes import hatching, line, polygon, rectangle, text_width, words, wrap

LONGEST_H: Final = 1e6  # beyond a million hours nothing more is claimed


@dataclass(frozen=True, slots=True)
class LifeBar:
    """Life of one candidate's stack; ``None``: not known."""

    label: str
    life_h: float | None


def life_bars(
    bars: Sequence[LifeBar], limits: Sequence[LifeLimit], *, options: ChartOptions | None = None
) -> str:
    """Return level bars of life on a logarithmic scale, crossed by the lives that are asked for.

    A bar that ends below a limit is hatched and says so; a life that is not known is an empty dashed bar.
    """
    options = options or ChartOptions()
    limits = sorted((limit for limit in limits if limit.life_h > 0), key=lambda limit: limit.life_h)
    hours = [min(bar.life_h, LONGEST_H) for bar in bars if bar.life_h]
    hours += [limit.life_h for limit in limits]
    values = decades(min(hours, default=1_000.0) * 0.8, max(hours, default=LONGEST_H) * 1.2)
    names = min(NAMES_WIDEST, max((text_width(bar.label, TYPE) for bar in bars), default=0.0)) + 18
    scale = Scale(values[0], values[-1], names, options.width - 24, logarithmic=True)
    places = [(scale.at(limit.life_h), _limit_name(limit)) for limit in limits]
    labels = label_levels(places, options.width - 4)
    head = 16 + LINE * (1 + max((level for _start, level in labels), default=0))
    frame = Frame(scale, Scale(0, 1, head + ROW * len(bars) + 8, head))
    strokes = [axis_across(frame, values, _("stack life L10, hours"), options.palette)]
    strokes += [
        _bar(bar, head + ROW * (index + 0.5), frame, limits, options.palette)
        for index, bar in enumerate(bars)
    ]
    strokes.append(_limit_lines(places, labels, frame, options.palette))
    strokes += [
        _bar_words(bar, head + ROW * (index + 0.5), frame, limits, options.palette)
        for index, bar in enumerate(bars)
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("Stack life of each candidate"),
        story=_story(bars, limits),
        options=options,
    )


def _limit_name(limit: LifeLimit) -> str:
    return f"{limit.name} {hours_text(limit.life_h)}"


def _below(bar: LifeBar, limits: Sequence[LifeLimit]) -> list[LifeLimit]:
    return [limit for limit in limits if bar.life_h is not None and bar.life_h < limit.life_h]


def _bar(bar: LifeBar, middle: float, frame: Frame, limits: Sequence[LifeLimit], palette: Palette) -> str:
    top, bottom = middle + DROP - BAR / 2, middle + DROP + BAR / 2
    if bar.life_h is None:
        corners = [(frame.left, top), (frame.right, top), (frame.right, bottom), (frame.left, bottom)]
        return polygon(corners, "sheet", fill="none", stroke=palette.ink, width=1.2, dash="7 4")
    end = frame.across.at(bar.life_h)
    corners = [(frame.left, top), (end, top), (end, bottom), (frame.left, bottom)]
    strokes = polygon(corners, "steel", fill=palette.steel, stroke=palette.ink, width=1.4)
    if _below(bar, limits):
        strokes += hatching(corners, 8, -1, "hatch", stroke=palette.ink)
    return strokes


def _bar_words(
    bar: LifeBar, middle: float, frame: Frame, limits: Sequence[LifeLimit], palette: Palette
) -> str:
    """Name the bar at its left and write its figure above it on a clear ground."""
    label = wrap(bar.label, TYPE, frame.left - 12, 1)[0]
    strokes = words(
        frame.left - 10,
        middle + DROP + 5,
        label,
        "ink",
        fill=palette.ink,
        size=TYPE,
        anchor="end",
    )
    text = _figure(bar, limits)
    strokes += rectangle(
        frame.left + 2,
        middle - 19,
        text_width(text, TYPE - 1) + 6,
        18,
        "sheet",
        fill=palette.sheet,
        stroke="none",
        pen=0,
    )
    return strokes + words(frame.left + 4, middle - 5, text, "ink", fill=palette.ink, size=TYPE - 1)


def _figure(bar: LifeBar, limits: Sequence[LifeLimit]) -> str:
    """Return a bar in words: its life, and which asked lives it does not reach."""
    if bar.life_h is None:
        return _("not checked")
    pieces = [hours_text(bar.life_h)]
    below = _below(bar, limits)
    if below:
        pieces.append(_("BELOW %(limits)s") % {"limits": ", ".join(limit.name for limit in below)})
    return " · ".join(pieces)


def _limit_lines(
    places: Sequence[tuple[float, str]], labels: Sequence[tuple[float, int]], frame: Frame, palette: Palette
) -> str:
    strokes = []
    for (x, text), (start, level) in zip(places, labels, strict=True):
        y = frame.top - 6 - LINE * level
        strokes.append(
            line((x, y - 11), (x, frame.bottom), "limit", stroke=palette.stop, pen=1.8, dash="7 4")
        )
        strokes.append(words(start, y, text, "ink", fill=palette.ink, size=TYPE - 1, weight=600))
    return "".join(strokes)


def _story(bars: Sequence[LifeBar], limits: Sequence[LifeLimit]) -> str:
    sentences = [f"{bar.label}: {_figure(bar, limits)}" for bar in bars]
    sentences += [_limit_name(limit) for limit in limits]
    return ". ".join(sentences) + "."
