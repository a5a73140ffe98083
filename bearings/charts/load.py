"""Load of each bearing against the thrust on the whole stack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
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
    label_levels,
    ticks,
)
from bearings.drawing.layout import spread
from bearings.drawing.strokes import line, number, text_width, words
from bearings.engineering.quantities import Direction

FIELD: Final = 260.0
LINE: Final = 19.0
DASHES: Final = ("", "9 4", "3 3", "11 3 3 3", "16 5", "2 6")
ALIKE: Final = 0.004  # of the greatest load: curves nearer than this are one line on paper


@dataclass(frozen=True, slots=True)
class LoadCurve:
    """Loads of one bearing at the thrusts of the chart; ``direction`` is the one it carries."""

    ref: str
    axial_n: Sequence[float]
    direction: Direction | None = None


@dataclass(frozen=True, slots=True)
class LoadCase:
    """A case of the motor: its name in the reader's language and its thrust, down positive."""

    name: str
    net_axial_n: float


def load_chart(
    net_axial_n: Sequence[float],
    curves: Sequence[LoadCurve],
    *,
    unloading_n: float | None = None,
    cases: Sequence[LoadCase] = (),
    options: ChartOptions | None = None,
) -> str:
    """Return load per bearing against net thrust (rising, down positive), with cases and unloading point."""
    _require_matching(net_axial_n, curves)
    options = options or ChartOptions()
    upright = sorted(_uprights(unloading_n, cases, options))
    groups = _alike(curves)
    frame, across, up = _frame(net_axial_n, curves, upright, groups, options)
    palette, unit = options.palette, options.force_unit
    strokes = [
        axis_across(frame, across, _("net thrust, down positive, %(unit)s") % {"unit": unit.sign}, palette),
        axis_up(frame, up, _("bearing load, %(unit)s") % {"unit": unit.sign}, palette),
        _draw_uprights(upright, frame, options),
        _draw_curves(net_axial_n, groups, frame, options),
    ]
    return chart_sheet(
        "".join(strokes),
        height=frame.bottom + 54,
        title=_("Bearing load vs. stack thrust"),
        story=_story(net_axial_n, curves, unloading_n, cases, options),
        options=options,
    )


def _require_matching(net_axial_n: Sequence[float], curves: Sequence[LoadCurve]) -> None:
    if len(net_axial_n) < 2:
        message = f"net_axial_n has {len(net_axial_n)} values; a curve needs at least 2"
        raise ValueError(message)
    for curve in curves:
        if len(curve.axial_n) != len(net_axial_n):
            message = f"curve {curve.ref}: {len(curve.axial_n)} loads for {len(net_axial_n)} thrusts"
            raise ValueError(message)


def _uprights(
    unloading_n: float | None, cases: Sequence[LoadCase], options: ChartOptions
) -> list[tuple[float, str, bool]]:
    """Return the upright lines: thrust in the reader's unit, words, dashed or not."""
    unit = options.force_unit
    lines = [
        (case.net_axial_n / unit.newtons, f"{case.name} {unit.text(case.net_axial_n)}", False)
        for case in cases
    ]
    if unloading_n is not None:
        text = _("unloads at %(force)s") % {"force": unit.text(unloading_n)}
        lines.append((unloading_n / unit.newtons, text, True))
    return lines


def _frame(
    net_axial_n: Sequence[float],
    curves: Sequence[LoadCurve],
    upright: Sequence[tuple[float, str, bool]],
    groups: Sequence[Sequence[LoadCurve]],
    options: ChartOptions,
) -> tuple[Frame, list[float], list[float]]:
    unit = options.force_unit.newtons
    thrusts = [*(value / unit for value in net_axial_n), *(value for value, _text, _dashed in upright)]
    across = ticks(min(thrusts), max(thrusts), 7)
    up = ticks(0.0, max([*(load / unit for curve in curves for load in curve.axial_n), 0.001]), 5)
    names = max((text_width(_group_name(group), TYPE) for group in groups), default=0.0)
    scale = Scale(across[0], across[-1], 66, options.width - names - 24)
    places = [(scale.at(value), text) for value, text, _dashed in upright]
    levels = [level for _start, level in label_levels(places, options.width - 4)]
    head = 40 + LINE * (1 + max(levels, default=0))
    frame = Frame(scale, Scale(up[0], up[-1], head + FIELD, head))
    return frame, across, up


def _draw_uprights(upright: Sequence[tuple[float, str, bool]], frame: Frame, options: ChartOptions) -> str:
    palette = options.palette
    places = [(frame.across.at(value), text) for value, text, _dashed in upright]
    levels = label_levels(places, options.width - 4)
    strokes = []
    for (x, text), (start, level), (_value, _text, dashed) in zip(places, levels, upright, strict=True):
        y = frame.top - 8 - LINE * level
        css, stroke, dash = ("limit", palette.stop, "6 4") if dashed else ("axis", palette.ink, "")
        strokes.append(
            line((x, y - 11), (x, frame.bottom), css, stroke=stroke, pen=1.6 if dashed else 1.1, dash=dash)
        )
        strokes.append(
            words(start, y, text, "ink", fill=palette.ink, size=TYPE - 1, weight=700 if dashed else 500)
        )
        if dashed:
            strokes.append(
                f'<circle class="limit sheet" cx="{number(x)}" cy="{number(frame.bottom)}" r="5" '
                f'fill="{palette.sheet}" stroke="{palette.stop}" stroke-width="2"/>'
            )
    return "".join(strokes)


def _alike(curves: Sequence[LoadCurve]) -> list[list[LoadCurve]]:
    """Put curves that lie on each other together, so that one line names all its bearings."""
    greatest = max((load for curve in curves for load in curve.axial_n), default=0.0)
    groups: list[list[LoadCurve]] = []
    for curve in curves:
        for group in groups:
            apart = max(abs(a - b) for a, b in zip(curve.axial_n, group[0].axial_n, strict=True))
            if group[0].direction == curve.direction and apart <= ALIKE * greatest:
                group.append(curve)
                break
        else:
            groups.append([curve])
    return groups


def _group_name(group: Sequence[LoadCurve]) -> str:
    refs = ", ".join(curve.ref for curve in group)
    return (
        _("bearing %(refs)s") % {"refs": refs} if len(group) == 1 else _("bearings %(refs)s") % {"refs": refs}
    )


def _draw_curves(
    net_axial_n: Sequence[float], groups: Sequence[Sequence[LoadCurve]], frame: Frame, options: ChartOptions
) -> str:
    unit, palette = options.force_unit.newtons, options.palette
    strokes = []
    ends: list[tuple[float, int]] = []
    for index, group in enumerate(groups):
        direction = group[0].direction
        stroke = {"down": palette.down, "up": palette.up, None: palette.ink}[direction]
        points = [
            f"{number(frame.across.at(thrust / unit))} {number(frame.up.at(load / unit))}"
            for thrust, load in zip(net_axial_n, group[0].axial_n, strict=True)
        ]
        dash = DASHES[index % len(DASHES)]
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        strokes.append(
            f'<path class="curve {direction or ""}" d="M{"L".join(points)}" fill="none" stroke="{stroke}" '
            f'stroke-width="2.6" stroke-linejoin="round"{dashes}/>'
        )
        ends.append((frame.up.at(group[0].axial_n[-1] / unit), index))
    ends.sort()
    for (y_end, index), y in zip(ends, spread([end[0] for end in ends], [LINE] * len(ends)), strict=True):
        direction = groups[index][0].direction
        fill = {"down": palette.down, "up": palette.up, None: palette.ink}[direction]
        x_end = frame.across.at(net_axial_n[-1] / unit)
        strokes.append(line((x_end, y_end), (frame.right + 8, y), "grid", stroke=palette.soft, pen=0.8))
        strokes.append(
            words(
                frame.right + 12,
                y + 5,
                _group_name(groups[index]),
                direction or "ink",
                fill=fill,
                size=TYPE,
                weight=700,
            )
        )
    return "".join(strokes)


def _interpolated(xs: Sequence[float], ys: Sequence[float], x: float) -> float | None:
    """Return the value between the two neighbouring points; None outside the curve."""
    for (left, y_left), (right, y_right) in pairwise(zip(xs, ys, strict=True)):
        if left <= x <= right:
            return y_left if right == left else y_left + (x - left) / (right - left) * (y_right - y_left)
    return None


def _story(
    net_axial_n: Sequence[float],
    curves: Sequence[LoadCurve],
    unloading_n: float | None,
    cases: Sequence[LoadCase],
    options: ChartOptions,
) -> str:
    """Return the figures of the chart in words: each case with what each bearing carries in it."""
    unit = options.force_unit
    points = [(case.name, case.net_axial_n) for case in cases]
    points = points or [(_("first point"), net_axial_n[0]), (_("last point"), net_axial_n[-1])]
    sentences = []
    for name, thrust in points:
        shares = []
        for curve in curves:
            load = _interpolated(net_axial_n, curve.axial_n, thrust)
            if load is not None:
                shares.append(_("bearing %(ref)s %(force)s") % {"ref": curve.ref, "force": unit.text(load)})
        sentences.append(f"{name}, {unit.text(thrust)}: " + (", ".join(shares) or _("off the chart")))
    if unloading_n is not None:
        sentences.append(_("A bearing unloads at %(force)s") % {"force": unit.text(unloading_n)})
    return ". ".join(sentences) + "."
