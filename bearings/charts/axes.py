"""Scales, ticks, frames and labels that the charts share."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Final

from bearings.drawing.layout import spread
from bearings.drawing.options import NEWTONS_PER_POUND_FORCE, SCREEN, Palette
from bearings.drawing.strokes import escape, line, number, text_width, words
from bearings.wording.figures import grouped, plain

FACE: Final = "Barlow, 'Barlow Extended', 'Mountside Signs', sans-serif"
TYPE: Final = 15.0
LABEL_GAP: Final = 10.0
# The words on upright lines are bold, and so wider than the plain ones that ``text_width`` knows.
BOLD: Final = 1.08
_ID_PREFIX: Final = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")


@dataclass(frozen=True, slots=True)
class ForceUnit:
    """A unit of force and how many newtons it is; ``decimals`` is how a figure in words is rounded."""

    newtons: float
    sign: str
    decimals: int

    def text(self, force_n: float) -> str:
        """Return a force with its unit."""
        value = round(force_n / self.newtons, self.decimals) + 0.0
        return f"{grouped(value, self.decimals)} {self.sign}"


KILONEWTONS: Final = ForceUnit(1000.0, "kN", 1)
POUNDS_FORCE: Final = ForceUnit(NEWTONS_PER_POUND_FORCE, "lbf", 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartOptions:
    """How a chart is made: ids, colours, unit of force, width in drawing units."""

    id_prefix: str = "chart"
    palette: Palette = SCREEN
    force_unit: ForceUnit = KILONEWTONS
    width: float = 680.0

    def __post_init__(self) -> None:
        if not _ID_PREFIX.fullmatch(self.id_prefix):
            message = f"id_prefix {self.id_prefix!r}: a letter, then letters, digits, - or _"
            raise ValueError(message)


@dataclass(frozen=True, slots=True)
class Scale:
    """Straight or logarithmic way from values to drawing units."""

    low: float
    high: float
    start: float
    end: float
    logarithmic: bool = False

    def at(self, value: float) -> float:
        """Return where a value stands; values beyond the scale stand at its end."""
        value = min(max(value, self.low), self.high)
        if self.logarithmic:
            share = log10(value / self.low) / log10(self.high / self.low)
        else:
            share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


@dataclass(frozen=True, slots=True)
class Frame:
    """The field of a chart and its two scales."""

    across: Scale
    up: Scale

    @property
    def left(self) -> float:
        return self.across.start

    @property
    def right(self) -> float:
        return self.across.end

    @property
    def bottom(self) -> float:
        return self.up.start

    @property
    def top(self) -> float:
        return self.up.end


def ticks(low: float, high: float, about: int = 6) -> list[float]:
    """Return round values that cover a range: steps of 1, 2 or 5 times a power of ten."""
    span = high - low
    if span <= 0:
        span = abs(high) or 1.0
        high = low + span
    raw = span / about
    power = 10.0 ** floor(log10(raw))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= raw * 0.999)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return [round(index * step, 10) for index in range(first, last + 1)]


def decades(low: float, high: float) -> list[float]:
    """Return the powers of ten that enclose a range of positive values."""
    first, last = floor(log10(low) + 1e-9), ceil(log10(high) - 1e-9)
    return [10.0**power for power in range(first, max(last, first + 1) + 1)]


def figure(value: float) -> str:
    """Return an axis figure without needless decimals."""
    # Fits in inches are a few ten-thousandths.
    return plain(round(value, 3 if abs(value) >= 0.1 else 6))


def axis_across(frame: Frame, values: Sequence[float], title: str, palette: Palette) -> str:
    """Return the lower axis with upright grid lines."""
    strokes = []
    for value in values:
        x = frame.across.at(value)
        strokes.append(line((x, frame.top), (x, frame.bottom), "grid", stroke=palette.hairline, pen=0.8))
        strokes.append(
            words(
                x, frame.bottom + 20, figure(value), "ink", fill=palette.ink, size=TYPE - 1, anchor="middle"
            )
        )
    strokes.append(
        line((frame.left, frame.bottom), (frame.right, frame.bottom), "axis", stroke=palette.ink, pen=1.6)
    )
    strokes.append(
        words(
            frame.right,
            frame.bottom + 42,
            title,
            "ink",
            fill=palette.ink,
            size=TYPE,
            weight=600,
            anchor="end",
        )
    )
    return "".join(strokes)


def axis_up(frame: Frame, values: Sequence[float], title: str, palette: Palette) -> str:
    """Return the left axis with level grid lines; its title stands above it, to be read level."""
    strokes = []
    for value in values:
        y = frame.up.at(value)
        strokes.append(line((frame.left, y), (frame.right, y), "grid", stroke=palette.hairline, pen=0.8))
        strokes.append(
            words(frame.left - 8, y + 5, figure(value), "ink", fill=palette.ink, size=TYPE - 1, anchor="end")
        )
    strokes.append(
        line((frame.left, frame.top), (frame.left, frame.bottom), "axis", stroke=palette.ink, pen=1.6)
    )
    strokes.append(words(4, 18, title, "ink", fill=palette.ink, size=TYPE, weight=600))
    return "".join(strokes)


def curve_through(across: Sequence[float], up: Sequence[float], frame: Frame, palette: Palette) -> str:
    """Return the stroke through points given in the units of a frame's scales."""
    points = [
        f"{number(frame.across.at(x))} {number(frame.up.at(y))}" for x, y in zip(across, up, strict=True)
    ]
    return (
        f'<path class="curve" d="M{"L".join(points)}" fill="none" stroke="{palette.ink}" '
        'stroke-width="2.6" stroke-linejoin="round"/>'
    )


def level_margin(names: Iterable[str]) -> float:
    """Return the room that the words of level lines need beside the field."""
    return max((text_width(name, TYPE - 1) for name in names), default=0.0) + 24


def level_lines(levels: Sequence[tuple[str, float]], frame: Frame, palette: Palette) -> str:
    """Return dashed level lines (words, value); their words stand to the right, apart from each other."""
    ordered = sorted(levels, key=lambda level: -level[1])
    places = [frame.up.at(value) for _name, value in ordered]
    strokes = []
    for (name, _value), y, y_words in zip(ordered, places, spread(places, [18.0] * len(places)), strict=True):
        strokes += [
            line((frame.left, y), (frame.right, y), "limit", stroke=palette.stop, pen=1.8, dash="7 4"),
            line((frame.right, y), (frame.right + 8, y_words), "limit", stroke=palette.stop, pen=1),
            words(frame.right + 12, y_words + 5, name, "ink", fill=palette.ink, size=TYPE - 1, weight=600),
        ]
    return "".join(strokes)


def label_levels(places: Sequence[tuple[float, str]], furthest: float) -> list[tuple[float, int]]:
    """Return start and level of the words on upright lines, given from left to right.

    Words stand to the right of their line. They are set from the right: words that would reach a
    line further right stand a level above its words, so that no line runs through any words.
    """
    set_down: list[tuple[float, float, int]] = []
    levels: list[tuple[float, int]] = []
    for x, text in reversed(places):
        width = text_width(text, TYPE - 1) * BOLD
        start = min(x + 5, furthest - width)
        reached = [
            level for left, right, level in set_down if left < start + width + LABEL_GAP and right > start
        ]
        level = max(reached, default=-1) + 1
        set_down.append((min(x, start), start + width, level))
        levels.append((start, level))
    return levels[::-1]


def chart_sheet(strokes: str, *, height: float, title: str, story: str, options: ChartOptions) -> str:
    """Wrap the strokes of a chart with its size, its name and its content in words."""
    prefix = options.id_prefix
    width, tall = number(options.width), number(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="chart" role="img" aria-labelledby="{prefix}-title" '
        f'aria-describedby="{prefix}-desc" viewBox="0 0 {width} {tall}" width="{width}" height="{tall}" '
        f'font-family="{FACE}"><title id="{prefix}-title">{escape(title)}</title>'
        f'<desc id="{prefix}-desc">{escape(story)}</desc>{strokes}</svg>'
    )
