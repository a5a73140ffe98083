"""Where everything goes: scale, heights, the mount's outline, and room for balloons and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from bearings.drawing.bearing_sections import BearingShape
from bearings.drawing.options import SizeClass
from bearings.drawing.part_sections import PartShape, flange_radius
from bearings.drawing.strokes import Point
from bearings.engineering.quantities import Bearing, Item, Part, PartKind, Ring

# Proportions of a medium-series bearing, taken where nothing better is recorded (drawn dashed).
USUAL_BORE_MM: Final = 100.0
USUAL_DIAMETER_TO_BORE: Final = 2.15
USUAL_HEIGHT_TO_DIAMETER: Final = 0.22
USUAL_ROLLER_THRUST_HEIGHT_TO_DIAMETER: Final = 0.31
USUAL_CONTACT_ANGLE_DEG: Final = 40.0
THINNEST_WALL: Final = 26.0
LOWEST_BEARING: Final = 28.0
TALLEST_TO_RADIUS: Final = 1.3

LEAST_HEIGHT: Final[dict[PartKind, float]] = {
    "spacer": 16.0,
    "shim": 4.0,
    "snap_ring": 11.0,
    "lock_nut": 29.0,
    "lock_washer": 5.0,
    "shoulder": 32.0,
    "spring_pack": 36.0,
    "slinger": 12.0,
}
USUAL_RING: Final[dict[PartKind, Ring]] = {
    "spacer": "both",
    "shim": "both",
    "snap_ring": "inner",
    "lock_nut": "inner",
    "lock_washer": "inner",
    "shoulder": "inner",
    "spring_pack": "outer",
    "slinger": "inner",
}
TALLEST_PART: Final = 80.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """Measures of one size class: least and greatest width of the section, type sizes, columns."""

    narrowest: float
    widest: float
    tallest: float
    least_row: float  # of a bearing without words
    balloon: float
    type_size: float
    words_width: float
    line_height: float
    words_lines: int


SHEETS: Final[dict[SizeClass, Sheet]] = {
    "full": Sheet(230, 320, 640, 48, 15, 17, 236, 20, 2),
    "compact": Sheet(190, 240, 520, 46, 15, 16, 0, 18, 0),
    "card": Sheet(280, 380, 860, 60, 17, 19, 545, 21, 2),
}


@dataclass(slots=True)
class Placed:
    """An item at its place: section from ``top``, words about ``slot``."""

    ref: str
    item: Item
    shape: BearingShape | PartShape
    top: float
    height: float
    slot: float = 0.0
    slot_height: float = 0.0

    @property
    def middle(self) -> float:
        return self.top + self.height / 2

    @property
    def edge_radius(self) -> float:
        if isinstance(self.shape, BearingShape):
            return self.shape.outer_radius
        if self.shape.kind == "shoulder" and self.shape.ring == "inner":
            return flange_radius(self.shape.bore_radius, self.shape.outer_radius)
        return self.shape.edge_radius


def _sizes_mm(bearing: Bearing, like: Bearing | None) -> tuple[float, float, float]:
    """Return bore, outside diameter and height to draw; unknown ones follow a known neighbour."""
    bore = bearing.bore_mm or (like.bore_mm if like else None)
    outside = bearing.outside_diameter_mm or (like.outside_diameter_mm if like else None)
    if bore is None:
        bore = outside / USUAL_DIAMETER_TO_BORE if outside else USUAL_BORE_MM
    if outside is None or outside <= bore:
        outside = bore * USUAL_DIAMETER_TO_BORE
    slender = (
        USUAL_ROLLER_THRUST_HEIGHT_TO_DIAMETER
        if bearing.type == "spherical_roller_thrust"
        else USUAL_HEIGHT_TO_DIAMETER
    )
    alike = like.height_mm if like and like.type == bearing.type else None
    return bore, outside, bearing.height_mm or alike or slender * outside


def _reference(bearings: Sequence[Bearing]) -> Bearing | None:
    """Return the first bearing with all its sizes recorded."""
    for bearing in bearings:
        if bearing.bore_mm and bearing.outside_diameter_mm and bearing.height_mm:
            return bearing
    return None


def section_scale(bearings: Sequence[Bearing], sheet: Sheet, least_row: float) -> float:
    """Return drawing units per millimetre: rows high enough for words, section within its width."""
    if not bearings:
        return sheet.narrowest / (USUAL_BORE_MM * USUAL_DIAMETER_TO_BORE)
    like = _reference(bearings)
    sizes = [_sizes_mm(bearing, like) for bearing in bearings]
    diameter = max(size[1] for size in sizes)
    lowest = min(size[2] for size in sizes)
    scale = min(max(least_row / lowest, sheet.narrowest / diameter), sheet.widest / diameter)
    whole = scale * sum(size[2] for size in sizes)
    roomy = min(sheet.widest / diameter, 0.4 * sheet.tallest * scale / whole)
    if scale < roomy:  # few bearings: as large as the width allows
        return roomy
    if whole > sheet.tallest:
        scale = max(scale * sheet.tallest / whole, sheet.narrowest / diameter)
    return scale


def bearing_shape(
    bearing: Bearing, like: Bearing | None, scale: float, *, sprung: bool, widest: float
) -> BearingShape:
    """Return a bearing in drawing units, kept drawable where its proportions are extreme."""
    bore, outside, height = _sizes_mm(bearing, like)
    outer_radius = min(max(outside * scale / 2, THINNEST_WALL + 10), widest / 2)
    bore_radius = max(min(bore * scale / 2, outer_radius - THINNEST_WALL), 6.0)
    angle = bearing.contact_angle_deg or USUAL_CONTACT_ANGLE_DEG
    return BearingShape(
        type=bearing.type,
        face=bearing.wide_face if bearing.is_one_way else None,
        bore_radius=round(bore_radius, 1),
        outer_radius=round(outer_radius, 1),
        height=round(min(max(height * scale, LOWEST_BEARING), TALLEST_TO_RADIUS * outer_radius), 1),
        contact_angle_deg=angle,
        ball_diameter=round(bearing.ball_diameter_mm * scale, 1) if bearing.ball_diameter_mm else None,
        sprung=sprung,
        size_known=bool(bearing.bore_mm and bearing.outside_diameter_mm and bearing.height_mm),
    )


def _on_own_springs(items: Sequence[Item], index: int) -> bool:
    """Whether springs are recorded with the bearing and not drawn as an item beside it."""
    bearing = items[index]
    assert isinstance(bearing, Bearing)
    if (
        bearing.spring_force_n is None
        and bearing.spring_rate_n_per_mm is None
        and bearing.spring_travel_mm is None
    ):
        return False
    beside = items[max(index - 1, 0) : index + 2]
    return not any(isinstance(item, Part) and item.kind == "spring_pack" for item in beside)


def _nearest_bearing(shapes: Sequence[BearingShape | None], index: int) -> BearingShape | None:
    """Return the shape of the bearing nearest to a part, the one above first."""
    for distance in range(1, len(shapes)):
        for place in (index - distance, index + distance):
            if 0 <= place < len(shapes) and shapes[place] is not None:
                return shapes[place]
    return None


def _nut_side(items: Sequence[Item], index: int) -> int:
    above = items[index - 1] if index else None
    return -1 if isinstance(above, Part) and above.kind == "lock_nut" else 1


def _part_shape(
    items: Sequence[Item], index: int, shapes: Sequence[BearingShape | None], scale: float
) -> PartShape:
    part = items[index]
    assert isinstance(part, Part)
    near = _nearest_bearing(shapes, index)
    outer = near.outer_radius if near else scale * USUAL_BORE_MM * USUAL_DIAMETER_TO_BORE / 2
    bore = near.bore_radius if near else scale * USUAL_BORE_MM / 2
    known = max(part.height_mm or 0, part.inner_height_mm or 0, part.outer_height_mm or 0) * scale
    least = LEAST_HEIGHT[part.kind]
    thin = part.kind in ("shim", "lock_washer")
    height = least if thin else min(max(known, least), TALLEST_PART)
    return PartShape(
        kind=part.kind,
        ring=part.ring or USUAL_RING[part.kind],
        ring_known=part.ring is not None or part.kind in ("lock_nut", "lock_washer", "slinger"),
        bore_radius=bore,
        outer_radius=outer,
        height=round(height, 1),
        nut_side=_nut_side(items, index),
    )


def place_items(
    refs: Sequence[str], items: Sequence[Item], scale: float, sheet: Sheet, top: float
) -> list[Placed]:
    """Stack the items from ``top`` downwards."""
    like = _reference([item for item in items if isinstance(item, Bearing)])
    shapes: list[BearingShape | None] = [
        bearing_shape(item, like, scale, sprung=_on_own_springs(items, index), widest=sheet.widest)
        if isinstance(item, Bearing)
        else None
        for index, item in enumerate(items)
    ]
    placed: list[Placed] = []
    for index, (ref, item) in enumerate(zip(refs, items, strict=True)):
        shape = shapes[index] or _part_shape(items, index, shapes, scale)
        height = shape.whole_height if isinstance(shape, BearingShape) else shape.height
        placed.append(Placed(ref, item, shape, top, height))
        top += height
    return placed


def spread(middles: Sequence[float], heights: Sequence[float]) -> list[float]:
    """Return new middles, in order and without overlap, moved as little as possible (least squares)."""
    offsets: list[float] = []
    reach = 0.0
    for index, height in enumerate(heights):
        reach += height / 2 + (heights[index - 1] / 2 if index else -height / 2)
        offsets.append(reach)
    # Pool adjacent violators: rows that would overlap become one block at their mean.
    blocks: list[tuple[float, int]] = []
    for middle, offset in zip(middles, offsets, strict=True):
        total, count = middle - offset, 1
        while blocks and blocks[-1][0] / blocks[-1][1] >= total / count:
            before, many = blocks.pop()
            total, count = total + before, count + many
        blocks.append((total, count))
    flat = [total / count for total, count in blocks for _ in range(count)]
    return [level + offset for level, offset in zip(flat, offsets, strict=True)]


def shaft_outline(placed: Sequence[Placed], top: float, bottom: float) -> list[Point]:
    """Return the right-hand outline of mount or shaft, from top to bottom, stepping with the bores."""
    points: list[Point] = []
    level = top
    for index, place in enumerate(placed):
        radius = place.shape.bore_radius
        if (
            isinstance(place.shape, PartShape)
            and place.shape.kind == "shoulder"
            and place.shape.ring != "outer"
        ):
            radius = flange_radius(radius, place.shape.outer_radius)
        last = index == len(placed) - 1
        end = bottom if last and radius == place.shape.bore_radius else place.top + place.height
        points += [(radius, level), (radius, end)]
        level = end
    if level < bottom:
        points += [(placed[-1].shape.bore_radius, level), (placed[-1].shape.bore_radius, bottom)]
    return points
