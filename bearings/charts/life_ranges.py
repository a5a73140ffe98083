"""What each figure does to the life of a stack over the range in which it may lie."""

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
from bearings.charts.life_bars import LONGEST_H
from bearings.drawing.strokes import line, polygon, rectangle, text_width, words, wrap

ROW: Final = 54.0
BAR: Final = 14.0
LINE: Final = 19.0


@dataclass(frozen=True, slots=True)
class LifeRange:
    """The life at both ends of one figure's range; ``label`` names the figure with its ends."""

    label: str
    low_h: float
    high_h: float


def life_ranges(
    ranges: Sequence[LifeRange],
    now_h: float,
    limits: Sequence[LifeLimit] = (),
    *,
    options: ChartOptions | None = None,
) -> str:
    """Return a level bar for each figure from one life to the other, crossed by the life as entered and the limits."""
    options = options or ChartOptions()
    palette = options.palette
    hours = [min(value, LONGEST_H) for one in ranges for value in (one.low_h, one.high_h)]
    hours += [min(now_h, LONGEST_H), *(limit.life_h for limit in limits if limit.life_h > 0)]
    values = decades(min(hours) * 0.9, max(hours) * 1.1)
    scale = Scale(values[0], values[-1], 20, options.width - 24, logarithmic=True)
    uprights = [
        (limit.life_h, f"{limit.name} {hours_text(limit.life_h)}", True)
        for limit in limits
        if limit.life_h > 0
    ]
    uprights.append((now_h, _("as entered %(hours)s") % {"hours": hours_text(now_h)}, False))
    uprights.sort()
    places = [(scale.at(value), text) for value, text, _limit in uprights]
    labels = label_levels(places, options.width - 4)
    head = 16 + LINE * (1 + max(level for _start, level in labels))
    frame = Frame(scale, Scale(0, 1, head + ROW * len(ranges) + 8, head))
    strokes = [axis_across(frame, values, _("stack life L10, hours"), palette)]
    for (x, text), (start, level), (_value, _text, is_limit) in zip(places, labels, uprights, strict=True):
        y = frame.top - 6 - LINE * level
        css, stroke, dash = ("limit", palette.stop, "7 4") if is_limit else ("axis", palette.ink, "")
        strokes.append(line((x, y - 11), (x, frame.bottom), css, stroke=stroke, pen=1.6, dash=dash))
        strokes.append(words(start, y, text, "ink", fill=palette.ink, size=TYPE - 1, weight=600))
    strokes += [_bar(one, head + ROW * index, frame, options) for index, one in enumerate(ranges)]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("How each figure affects life"),
        story=". ".join(f"{one.label}: {hours_text(one.low_h)} – {hours_text(one.high_h)}" for one in ranges)
        + ".",
        options=options,
    )


def _bar(one: LifeRange, top: float, frame: Frame, options: ChartOptions) -> str:
    palette = options.palette
    ends = sorted((frame.across.at(one.low_h), frame.across.at(one.high_h)))
    left, right = ends[0], max(ends[1], ends[0] + 3)
    upper, lower = top + 30, top + 30 + BAR
    text = wrap(
        f"{one.label}: {hours_text(one.low_h)} – {hours_text(one.high_h)}",
        TYPE - 1,
        frame.right - frame.left,
        1,
    )[0]
    start = min(max(left, frame.left), max(frame.left, frame.right - text_width(text, TYPE - 1)))
    corners = [(left, upper), (right, upper), (right, lower), (left, lower)]
    wide = text_width(text, TYPE - 1) + 6
    ground = rectangle(start - 3, top + 10, wide, 18, "sheet", fill=palette.sheet, stroke="none", pen=0)
    bar = polygon(corners, "steel", fill=palette.steel, stroke=palette.ink, width=1.4)
    return bar + ground + words(start, top + 24, text, "ink", fill=palette.ink, size=TYPE - 1)
