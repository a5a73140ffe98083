"""Permissible speed of each bearing against the motor's speeds."""

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
    label_levels,
    ticks,
)
from bearings.drawing.options import Palette
from bearings.drawing.strokes import hatching, line, polygon, rectangle, text_width, words, wrap
from bearings.wording.figures import grouped

ROW: Final = 56.0
BAR: Final = 18.0
DROP: Final = 11.0  # of the bar below the middle of its row; its words stand above it
LINE: Final = 19.0
NAMES_WIDEST: Final = 190.0


@dataclass(frozen=True, slots=True)
class SpeedBar:
    """Permissible speed of a bearing or candidate (``None``: not rated); ``governs`` is the lowest."""

    label: str
    permissible_rpm: float | None
    governs: bool = False


@dataclass(frozen=True, slots=True)
class MotorSpeed:
    """A speed of the motor with its name in the reader's language.

    ``compared`` is False where the bars are no measure for it: reverse speed is judged by the
    limiting speeds alone.
    """

    label: str
    speed_rpm: float
    compared: bool = True


def speed_chart(
    bars: Sequence[SpeedBar], speeds: Sequence[MotorSpeed], *, options: ChartOptions | None = None
) -> str:
    """Return level bars of permissible speed, crossed by the motor's speeds.

    A bar that ends below a motor speed is hatched and says so; an unrated bearing is an empty dashed bar.
    """
    options = options or ChartOptions()
    speeds = sorted(speeds, key=lambda speed: speed.speed_rpm)
    highest = max([*(bar.permissible_rpm or 0 for bar in bars), *(speed.speed_rpm for speed in speeds), 1.0])
    names = min(NAMES_WIDEST, max((text_width(bar.label, TYPE) for bar in bars), default=0.0)) + 18
    values = ticks(0.0, highest * 1.02, 6)
    scale = Scale(0.0, values[-1], names, options.width - 24)
    places = [(scale.at(speed.speed_rpm), _speed_name(speed)) for speed in speeds]
    labels = label_levels(places, options.width - 4)
    head = 16 + LINE * (1 + max((level for _start, level in labels), default=0))
    frame = Frame(scale, Scale(0, 1, head + ROW * len(bars) + 8, head))
    top_speed = max((speed.speed_rpm for speed in speeds if speed.compared), default=None)
    strokes = [axis_across(frame, values, _("speed, rpm"), options.palette)]
    for index, bar in enumerate(bars):
        strokes.append(_bar(bar, head + ROW * (index + 0.5), frame, top_speed, options.palette))
    strokes.append(_motor_lines(places, labels, frame, options.palette))
    strokes += [_bar_words(bar, head + ROW * (i + 0.5), frame, speeds, options) for i, bar in enumerate(bars)]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("Allowable speed vs. motor speed"),
        story=_story(bars, speeds),
        options=options,
    )


def _bar(bar: SpeedBar, middle: float, frame: Frame, top_speed: float | None, palette: Palette) -> str:
    top, bottom = middle + DROP - BAR / 2, middle + DROP + BAR / 2
    if bar.permissible_rpm is None:
        corners = [(frame.left, top), (frame.right, top), (frame.right, bottom), (frame.left, bottom)]
        return polygon(corners, "sheet", fill="none", stroke=palette.ink, width=1.2, dash="7 4")
    end = frame.across.at(bar.permissible_rpm)
    corners = [(frame.left, top), (end, top), (end, bottom), (frame.left, bottom)]
    strokes = polygon(corners, "steel", fill=palette.steel, stroke=palette.ink, width=1.4)
    if top_speed is not None and bar.permissible_rpm < top_speed:
        strokes += hatching(corners, 8, -1, "hatch", stroke=palette.ink)
    return strokes


def _bar_words(
    bar: SpeedBar, middle: float, frame: Frame, speeds: Sequence[MotorSpeed], options: ChartOptions
) -> str:
    """Name the bar at its left and write its figure above it on a clear ground."""
    palette = options.palette
    label = wrap(bar.label, TYPE, frame.left - 12, 1)[0]
    strokes = words(
        frame.left - 10,
        middle + DROP + 5,
        label,
        "ink",
        fill=palette.ink,
        size=TYPE,
        weight=700 if bar.governs else 500,
        anchor="end",
    )
    text = _figure(bar, speeds)
    width = text_width(text, TYPE - 1)
    strokes += rectangle(
        frame.left + 2, middle - 19, width + 6, 18, "sheet", fill=palette.sheet, stroke="none", pen=0
    )
    return strokes + words(
        frame.left + 4,
        middle - 5,
        text,
        "ink",
        fill=palette.ink,
        size=TYPE - 1,
        weight=700 if bar.governs else 500,
    )


def _figure(bar: SpeedBar, speeds: Sequence[MotorSpeed]) -> str:
    """Return a bar in words: its speed, whether it governs, which motor speeds lie above it."""
    if bar.permissible_rpm is None:
        return _("not checked: no speed rating")
    pieces = [_("%(speed)s rpm") % {"speed": grouped(bar.permissible_rpm)}]
    if bar.governs:
        pieces.append(_("governs"))
    above = [speed.label for speed in speeds if speed.compared and speed.speed_rpm > bar.permissible_rpm]
    if above:
        pieces.append(_("BELOW %(speeds)s") % {"speeds": ", ".join(above)})
    return " · ".join(pieces)


def _motor_lines(
    places: Sequence[tuple[float, str]], labels: Sequence[tuple[float, int]], frame: Frame, palette: Palette
) -> str:
    lines, names = [], []
    for (x, text), (start, level) in zip(places, labels, strict=True):
        y = frame.top - 6 - LINE * level
        lines.append(line((x, y - 11), (x, frame.bottom), "limit", stroke=palette.stop, pen=1.8, dash="7 4"))
        # On a clear ground: near the edge a name stands across its own line or another one.
        width = text_width(text, TYPE - 1) + 4
        names.append(
            rectangle(start - 2, y - 12, width, 15, "sheet", fill=palette.sheet, stroke="none", pen=0)
        )
        names.append(words(start, y, text, "ink", fill=palette.ink, size=TYPE - 1, weight=600))
    return "".join([*lines, *names])


def _speed_name(speed: MotorSpeed) -> str:
    return f"{speed.label} {grouped(speed.speed_rpm)}"


def _story(bars: Sequence[SpeedBar], speeds: Sequence[MotorSpeed]) -> str:
    sentences = [f"{bar.label}: {_figure(bar, speeds)}" for bar in bars]
    if speeds:
        listed = ", ".join(_speed_name(speed) for speed in speeds)
        sentences.append(_("Motor speeds in rpm: %(speeds)s") % {"speeds": listed})
    return ". ".join(sentences) + "."
