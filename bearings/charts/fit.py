"""A fit as bars on one scale: the seat's zone, the ring's tolerance and what was measured of both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal

from django.utils.translation import gettext as _

from bearings.charts.axes import TYPE, ChartOptions, Frame, Scale, axis_across, chart_sheet, figure, ticks
from bearings.charts.speed import BAR, DROP, NAMES_WIDEST, ROW
from bearings.drawing.options import Palette
from bearings.drawing.strokes import hatching, line, polygon, rectangle, text_width, words, wrap

HEAD: Final = 30.0
# What a figure on the axis is: micrometres, or tenths of a thousandth of an inch.
UM_PER_TENTH: Final = Decimal("2.54")


@dataclass(frozen=True, slots=True)
class FitBar:
    """One bar: from lower to upper deviation from the nominal size in micrometres; ``marks`` are single readings."""

    label: str
    kind: Literal["zone", "ring", "measured"]
    lower_um: Decimal
    upper_um: Decimal
    marks_um: Sequence[Decimal] = ()


def fit_bars(
    bars: Sequence[FitBar],
    *,
    nominal: str,
    inches: bool = False,
    options: ChartOptions | None = None,
) -> str:
    """Return level bars of deviation from the nominal size, which is an upright line through all of them.

    A reading outside the zone is a thick mark and says so; the zone is carried through the row of the readings.
    """
    if not bars:
        raise ValueError("bars: at least one is needed")
    options = options or ChartOptions()
    share = UM_PER_TENTH if inches else Decimal(1)
    ends = [end for bar in bars for end in (bar.lower_um, bar.upper_um, *bar.marks_um)]
    values = ticks(float(min([*ends, Decimal(0)]) / share), float(max([*ends, Decimal(0)]) / share))
    names = min(NAMES_WIDEST, max(text_width(bar.label, TYPE) for bar in bars)) + 18
    across = Scale(values[0], values[-1], names, options.width - 24)
    frame = Frame(across, Scale(0, 1, HEAD + ROW * len(bars) + 8, HEAD))
    title = _("0.0001 in from the nominal size") if inches else _("µm from the nominal size")
    zone = next((bar for bar in bars if bar.kind == "zone"), None)
    strokes = [
        axis_across(frame, values, title, options.palette),
        _nominal_line(frame, nominal, options.palette),
    ]
    for index, bar in enumerate(bars):
        strokes.append(_bar(bar, HEAD + ROW * (index + 0.5), frame, share, zone, options.palette))
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("Measured fit and zone"),
        story=_story(bars, zone, share, nominal, title),
        options=options,
    )


def _nominal_line(frame: Frame, nominal: str, palette: Palette) -> str:
    x = frame.across.at(0)
    width = text_width(nominal, TYPE - 1)
    start = min(max(x - width / 2, 4), frame.right - width)
    return line((x, frame.top - 8), (x, frame.bottom), "axis", stroke=palette.ink, pen=1.8) + words(
        start, frame.top - 13, nominal, "ink", fill=palette.ink, size=TYPE - 1, weight=600
    )


def _bar(
    bar: FitBar, middle: float, frame: Frame, share: Decimal, zone: FitBar | None, palette: Palette
) -> str:
    top, bottom = middle + DROP - BAR / 2, middle + DROP + BAR / 2
    left, right = (frame.across.at(float(end / share)) for end in (bar.lower_um, bar.upper_um))
    right = max(right, left + 2)
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    strokes = polygon(
        corners,
        "steel" if bar.kind == "zone" else "sheet",
        fill=palette.steel if bar.kind == "zone" else palette.sheet,
        stroke=palette.ink,
        width=1.4,
    )
    if bar.kind == "ring":
        strokes += hatching(corners, 7, -1, "hatch", stroke=palette.ink)
    if bar.kind == "measured" and zone is not None:
        for end in (zone.lower_um, zone.upper_um):
            x = frame.across.at(float(end / share))
            strokes += line((x, top - 4), (x, bottom + 4), "limit", stroke=palette.stop, pen=1.8, dash="7 4")
    for mark in bar.marks_um:
        x = frame.across.at(float(mark / share))
        outside = zone is not None and not zone.lower_um <= mark <= zone.upper_um
        strokes += line(
            (x, top - 3), (x, bottom + 3), "curve", stroke=palette.ink, pen=5.0 if outside else 1.6
        )
    return strokes + _bar_words(bar, middle, frame, share, zone, palette)


def _bar_words(
    bar: FitBar, middle: float, frame: Frame, share: Decimal, zone: FitBar | None, palette: Palette
) -> str:
    label = wrap(bar.label, TYPE, frame.left - 12, 1)[0]
    text = _figure(bar, share, zone)
    left = frame.across.at(float(bar.lower_um / share))
    width = text_width(text, TYPE - 1)
    start = min(max(left, frame.left + 2), frame.right - width - 2)
    return (
        words(frame.left - 10, middle + DROP + 5, label, "ink", fill=palette.ink, size=TYPE, anchor="end")
        + rectangle(start - 2, middle - 20, width + 6, 18, "sheet", fill=palette.sheet, stroke="none", pen=0)
        + words(start, middle - 6, text, "ink", fill=palette.ink, size=TYPE - 1)
    )


def _figure(bar: FitBar, share: Decimal, zone: FitBar | None) -> str:
    ends = [_signed(end / share) for end in dict.fromkeys((bar.lower_um, bar.upper_um))]
    text = ends[0] if len(ends) == 1 else _("%(low)s to %(high)s") % {"low": ends[0], "high": ends[1]}
    outside = (
        zone is not None
        and bar.marks_um
        and not all(zone.lower_um <= mark <= zone.upper_um for mark in bar.marks_um)
    )
    return _("%(figure)s · OUT OF ZONE") % {"figure": text} if outside else text


def _signed(value: Decimal) -> str:
    text = figure(float(round(value, 2)))
    return text if value <= 0 else f"+{text}"


def _story(bars: Sequence[FitBar], zone: FitBar | None, share: Decimal, nominal: str, unit: str) -> str:
    return (
        ". ".join([f"{nominal}; {unit}", *(f"{bar.label}: {_figure(bar, share, zone)}" for bar in bars)])
        + "."
    )
