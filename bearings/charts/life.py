"""Life against load, with the lives that are asked for and the cases of the motor."""

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
    level_lines,
    level_margin,
    ticks,
)
from bearings.drawing.strokes import number, text_width, words
from bearings.wording.figures import Figures

HEIGHT: Final = 280.0
HEAD: Final = 40.0


@dataclass(frozen=True, slots=True)
class LifePoint:
    """A case of the motor on the curve."""

    name: str
    load_n: float
    life_h: float


@dataclass(frozen=True, slots=True)
class LifeLimit:
    """A life that is asked for: the shop's limits, or the contract's."""

    name: str
    life_h: float


def life_chart(
    load_n: Sequence[float],
    life_h: Sequence[float],
    *,
    points: Sequence[LifePoint] = (),
    limits: Sequence[LifeLimit] = (),
    options: ChartOptions | None = None,
) -> str:
    """Return life in hours, on a logarithmic scale, against load (rising)."""
    _require_curve(load_n, life_h)
    options = options or ChartOptions()
    unit, palette = options.force_unit, options.palette
    loads = [value / unit.newtons for value in (*load_n, *(point.load_n for point in points))]
    hours = [*life_h, *(point.life_h for point in points), *(limit.life_h for limit in limits)]
    across, up = ticks(min(loads), max(loads), 7), decades(min(hours), max(hours))
    levels = [(_limit_name(limit), limit.life_h) for limit in limits]
    frame = Frame(
        Scale(across[0], across[-1], 84, options.width - level_margin(name for name, _life_h in levels)),
        Scale(up[0], up[-1], HEAD + HEIGHT, HEAD, logarithmic=True),
    )
    strokes = [
        axis_across(frame, across, _("stack load, %(unit)s") % {"unit": unit.sign}, palette),
        axis_up(frame, up, _("life, hours"), palette),
        level_lines(levels, frame, palette),
        curve_through([load / unit.newtons for load in load_n], life_h, frame, palette),
        _points(points, frame, options),
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("Life vs. load"),
        story=_story(load_n, life_h, points, limits, options),
        options=options,
    )


def _require_curve(load_n: Sequence[float], life_h: Sequence[float]) -> None:
    if len(load_n) < 2 or len(load_n) != len(life_h):
        message = (
            f"life curve: {len(load_n)} loads and {len(life_h)} lives; at least 2 of each, as many of both"
        )
        raise ValueError(message)
    if min(life_h) <= 0:
        message = f"life_h {min(life_h)}: a logarithmic scale needs lives above 0 h"
        raise ValueError(message)


def hours_text(life_h: float) -> str:
    """Return a life to three figures."""
    return Figures().hours(life_h)


def _limit_name(limit: LifeLimit) -> str:
    return f"{limit.name} {hours_text(limit.life_h)}"


def _points(points: Sequence[LifePoint], frame: Frame, options: ChartOptions) -> str:
    """Mark the cases; their words stand on a clear ground above and to the right, or left near the edge."""
    palette = options.palette
    strokes = []
    for point in points:
        x, y = frame.across.at(point.load_n / options.force_unit.newtons), frame.up.at(point.life_h)
        text = f"{point.name} {hours_text(point.life_h)}"
        fits = x + 12 + text_width(text, TYPE) < frame.right
        strokes.append(
            f'<circle class="sheet" cx="{number(x)}" cy="{number(y)}" r="6" fill="{palette.sheet}" '
            f'stroke="{palette.ink}" stroke-width="2.6"/>'
        )
        strokes.append(
            words(
                x + 12 if fits else x - 12,
                y - 10 if fits else y + 22,
                text,
                "ink",
                fill=palette.ink,
                size=TYPE,
                weight=700,
                anchor="start" if fits else "end",
            )
        )
    return "".join(strokes)


def _story(
    load_n: Sequence[float],
    life_h: Sequence[float],
    points: Sequence[LifePoint],
    limits: Sequence[LifeLimit],
    options: ChartOptions,
) -> str:
    unit = options.force_unit
    marked = points or [
        LifePoint(_("first point"), load_n[0], life_h[0]),
        LifePoint(_("last point"), load_n[-1], life_h[-1]),
    ]
    sentences = [f"{point.name}, {unit.text(point.load_n)}: {hours_text(point.life_h)}" for point in marked]
    sentences += [_limit_name(limit) for limit in limits]
    return ". ".join(sentences) + "."
