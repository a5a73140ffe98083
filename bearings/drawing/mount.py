"""Mount, shaft and housing: what the stack stands on, in and against."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bearings.drawing.bearing_sections import BearingShape
from bearings.drawing.entries import BREAK, TAIL
from bearings.drawing.layout import Placed, shaft_outline
from bearings.drawing.options import Palette
from bearings.drawing.part_sections import WALL
from bearings.drawing.strokes import Point, line, polygon

STUB: Final = 22.0  # the mount above the first item, where no flange is recorded
LIP: Final = 12.0  # of the housing over the outer ring
DOTTED: Final = "1.5 3"
CENTRE_DASH: Final = "14 3 3 3"


def mount_top(first: Placed) -> float:
    """Return where the mount ends: at its flange, or a stub above the first item."""
    shape = first.shape
    if not isinstance(shape, BearingShape) and shape.kind == "shoulder" and shape.ring != "outer":
        return first.top
    return first.top - STUB


def draw_mount(stack: Sequence[Placed], guides: Sequence[Placed], centre: float, palette: Palette) -> str:
    """Draw the mount and, below a break, the shaft with its guides. Neither is hatched, as shafts are not."""
    bottom = stack[-1].top + stack[-1].height + TAIL
    right = shaft_outline(stack, mount_top(stack[0]), bottom)
    mount = _body(right, _flash(right[-1][0], bottom) if guides else [], [], centre, palette)
    if not guides:
        return mount
    end = guides[-1].top + guides[-1].height + TAIL
    right = shaft_outline(guides, bottom + BREAK, end)
    return mount + _body(right, [], _flash(right[0][0], bottom + BREAK)[::-1], centre, palette)


def _body(
    right: Sequence[Point], lower: Sequence[Point], upper: Sequence[Point], centre: float, palette: Palette
) -> str:
    left = [(-radius, y) for radius, y in reversed(right)]
    outline = [(centre + x, y) for x, y in [*right, *lower, *left, *upper]]
    return polygon(outline, "mount sheet", fill=palette.sheet, stroke=palette.ink, width=2)


def _flash(radius: float, y: float) -> list[Point]:
    """Return the middle of a break line from right to left."""
    wide = min(8.0, radius * 0.3)
    return [(wide, y), (wide / 3, y - 7), (-wide / 3, y + 7), (-wide, y)]


def draw_centre_line(top: float, bottom: float, centre: float, palette: Palette) -> str:
    return line(
        (centre, top - 12),
        (centre, bottom),
        "centre-line axis",
        stroke=palette.soft,
        pen=1.1,
        dash=CENTRE_DASH,
    )


def _reaches_housing(place: Placed) -> bool:
    shape = place.shape
    return isinstance(shape, BearingShape) or (shape.kind != "slinger" and shape.ring in ("outer", "both"))


def draw_housing(stack: Sequence[Placed], centre: float, palette: Palette) -> str:
    """Dot the housing around the outer rings; a lip is left out where a recorded part holds the ring."""
    outer = [place for place in stack if _reaches_housing(place)]
    if not outer:
        return ""
    top, bottom = outer[0].top, outer[-1].top + outer[-1].height
    profile: list[Point] = []
    for place in outer:
        radius = place.shape.outer_radius
        profile += [(radius, place.top), (radius, place.top + place.height)]
    wall = max(radius for radius, _y in profile) + WALL
    first, last = outer[0].shape, outer[-1].shape
    if isinstance(first, BearingShape):
        inside = first.outer_radius - 0.14 * first.wall
        profile = [(inside, top - LIP), (inside, top), *profile]
        top -= LIP
    if isinstance(last, BearingShape):
        inside = last.outer_radius - 0.14 * last.wall
        profile += [(inside, bottom), (inside, bottom + LIP)]
        bottom += LIP
    outline = [(wall, top), *profile, (wall, bottom)]
    return "".join(
        polygon(
            [(centre + side * radius, y) for radius, y in outline],
            "housing",
            fill="none",
            stroke=palette.ink,
            width=1.3,
            dash=DOTTED,
        )
        for side in (-1, 1)
    )
