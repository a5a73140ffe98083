"""Sections of the parts between bearings, both halves, centre line at x = 0, top at y = 0."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from bearings.drawing.bearing_sections import DASHED, coil
from bearings.drawing.options import Palette
from bearings.drawing.strokes import Point, hatching, number, polygon, rectangle
from bearings.engineering.quantities import PartKind, Ring

WALL: Final = 22.0  # the housing's wall, drawn dotted
GROOVE: Final = 6.0  # depth of a snap ring's groove


@dataclass(frozen=True, slots=True)
class PartShape:
    """A part in drawing units between the bores and outside diameters of its neighbours."""

    kind: PartKind
    ring: Ring
    ring_known: bool
    bore_radius: float
    outer_radius: float
    height: float
    nut_side: int  # a lock washer's tab is bent towards its nut: -1 above, 1 below

    @property
    def wall(self) -> float:
        return self.outer_radius - self.bore_radius

    @property
    def edge_radius(self) -> float:
        """Outermost radius, where a leader line ends."""
        if self.ring == "inner":
            share = {"slinger": 0.86, "lock_washer": 0.42, "lock_nut": 0.38}.get(self.kind, 0.28)
            return self.bore_radius + share * self.wall
        return self.outer_radius


def flange_radius(bore_radius: float, outer_radius: float) -> float:
    """Return the radius of the mount's flange: it backs the inner ring and clears the outer one."""
    return bore_radius + 0.28 * (outer_radius - bore_radius)


class _Bench:
    """Collects the strokes of one part."""

    def __init__(self, shape: PartShape, palette: Palette) -> None:
        self.shape = shape
        self.palette = palette
        self.strokes: list[str] = []

    def spans(self, inner_share: float, outer_share: float) -> list[tuple[float, float]]:
        """Return the radial spans (from, to) of the rings that the part sits against."""
        shape = self.shape
        spans: list[tuple[float, float]] = []
        if shape.ring in ("outer", "both"):
            spans.append((shape.outer_radius - outer_share * shape.wall, shape.outer_radius))
        if shape.ring in ("inner", "both"):
            spans.append((shape.bore_radius, shape.bore_radius + inner_share * shape.wall))
        return spans

    def cut(self, points: list[Point], *, spacing: float = 5.0, slope: int = 1, css: str = "part") -> None:
        """Draw a cut, hatched part on both sides."""
        dash = "" if self.shape.ring_known else DASHED
        for side in (-1, 1):
            outline = [(side * radius, y) for radius, y in points]
            self.strokes.append(polygon(outline, css, fill=self.palette.sheet, stroke="none"))
            self.strokes.append(hatching(outline, spacing, slope, "hatch", stroke=self.palette.hatch))
            self.strokes.append(polygon(outline, "outline", fill="none", stroke=self.palette.ink, dash=dash))

    def solid(self, start: float, end: float, top: float, bottom: float) -> None:
        """Draw a thin part filled, as thin parts are in a section."""
        dash = "" if self.shape.ring_known else DASHED
        fill = self.palette.ink if self.shape.ring_known else self.palette.sheet
        for side in (-1, 1):
            outline = [(side * start, top), (side * end, top), (side * end, bottom), (side * start, bottom)]
            self.strokes.append(
                polygon(outline, "thin-part", fill=fill, stroke=self.palette.ink, width=1.0, dash=dash)
            )


def _spacer(bench: _Bench) -> None:
    for start, end in bench.spans(0.26, 0.22):
        height = bench.shape.height
        bench.cut(
            [(start, 0), (end, 0), (end, height), (start, height)],
            slope=1 if end == bench.shape.outer_radius else -1,
        )


def _shim(bench: _Bench) -> None:
    for start, end in bench.spans(0.26, 0.22):
        bench.solid(start, end, 0, bench.shape.height)


def _snap_ring(bench: _Bench) -> None:
    """A snap ring stands half in a groove of the mount (inner) or the housing (outer)."""
    shape = bench.shape
    top, bottom = 1.0, shape.height - 1.0
    for start, end in bench.spans(0.16, 0.16):
        outer = end == shape.outer_radius
        groove = shape.outer_radius if outer else shape.bore_radius - GROOVE
        for side in (-1, 1):
            x = min(side * groove, side * (groove + GROOVE))
            bench.strokes.append(
                rectangle(
                    x,
                    top,
                    GROOVE,
                    bottom - top,
                    "groove",
                    fill=bench.palette.sheet,
                    stroke=bench.palette.ink,
                    pen=1.2,
                )
            )
        if outer:
            bench.solid(start, end + 0.62 * GROOVE, top + 0.8, bottom - 0.8)
        else:
            bench.solid(start - 0.62 * GROOVE, end, top + 0.8, bottom - 0.8)


def _lock_nut(bench: _Bench) -> None:
    """Chamfered nut, closely hatched, on a thread."""
    shape = bench.shape
    for start, end in bench.spans(0.36, 0.3):
        inner = start == shape.bore_radius
        seat, rim, height, cut = (
            (start, end, shape.height, 4.0) if inner else (end, start, shape.height, -4.0)
        )
        bench.cut(
            [
                (seat, 0),
                (rim - cut, 0),
                (rim, abs(cut)),
                (rim, height - abs(cut)),
                (rim - cut, height),
                (seat, height),
            ],
            spacing=3.2,
            css="part nut",
        )
        _thread(bench, seat, -1 if inner else 1)


def _thread(bench: _Bench, seat: float, into: int) -> None:
    """Thread flanks as a zigzag from the seat into the mount (or housing)."""
    height, depth = bench.shape.height, 3.4 * into
    turns = max(3, round(height / 5))
    step = height / turns
    for side in (-1, 1):
        path = [f"M{number(side * seat)} 0"]
        for turn in range(turns):
            path.append(f"L{number(side * (seat + depth))} {number((turn + 0.5) * step)}")
            path.append(f"L{number(side * seat)} {number((turn + 1) * step)}")
        bench.strokes.append(
            f'<path class="thread" d="{"".join(path)}" fill="{bench.palette.sheet}" '
            f'stroke="{bench.palette.ink}" stroke-width="1.2" stroke-linejoin="round"/>'
        )


def _lock_washer(bench: _Bench) -> None:
    """Thin washer with a tab bent over its nut."""
    shape = bench.shape
    for start, end in bench.spans(0.42, 0.34):
        bench.solid(start, end, 0, shape.height)
        tab_top, tab_bottom = (shape.height, shape.height + 9) if shape.nut_side > 0 else (-9, 0)
        if start == shape.bore_radius:
            bench.solid(end - 4, end, tab_top, tab_bottom)
        else:
            bench.solid(start, start + 4, tab_top, tab_bottom)


def _shoulder(bench: _Bench) -> None:
    """The mount's own flange belongs to the mount's outline; only the housing's step is drawn here."""
    shape = bench.shape
    if shape.ring in ("outer", "both"):
        start, end = shape.outer_radius - 0.22 * shape.wall, shape.outer_radius + WALL
        bench.cut(
            [(start, 0), (end, 0), (end, shape.height), (start, shape.height)],
            spacing=8.0,
            slope=-1,
            css="part housing-step",
        )


def _spring_pack(bench: _Bench) -> None:
    """Coils between two thin plates."""
    height, plate = bench.shape.height, 4.0
    for start, end in bench.spans(0.4, 0.46):
        bench.solid(start, end, 0, plate)
        bench.solid(start, end, height - plate, height)
        inset = 0.12 * (end - start)
        for side in (-1, 1):
            corners = [(side * (start + inset), plate), (side * (end - inset), height - plate)]
            bench.strokes.append(coil(corners, bench.palette))


def _slinger(bench: _Bench) -> None:
    """Collar on the mount with a thin plate whose rim is bent down."""
    shape = bench.shape
    start, end, height = shape.bore_radius, shape.bore_radius + 0.86 * shape.wall, shape.height
    bench.cut(
        [(start, 0), (start + 0.16 * shape.wall, 0), (start + 0.16 * shape.wall, height), (start, height)],
        spacing=4.0,
    )
    bench.solid(start + 0.16 * shape.wall, end, height / 2 - 1.6, height / 2 + 1.6)
    bench.solid(end - 3.2, end, height / 2 - 1.6, height + 3)


_SECTIONS: Final[dict[PartKind, Callable[[_Bench], None]]] = {
    "spacer": _spacer,
    "shim": _shim,
    "snap_ring": _snap_ring,
    "lock_nut": _lock_nut,
    "lock_washer": _lock_washer,
    "shoulder": _shoulder,
    "spring_pack": _spring_pack,
    "slinger": _slinger,
}


@lru_cache(maxsize=512)
def part_section(shape: PartShape, palette: Palette) -> str:
    """Return both halves of a part's section."""
    bench = _Bench(shape, palette)
    _SECTIONS[shape.kind](bench)
    return "".join(bench.strokes)
