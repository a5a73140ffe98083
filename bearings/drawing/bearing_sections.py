"""Sections of bearings, both halves, about the centre line at x = 0 with the top face at y = 0.

Every function returns the same text for the same sizes, so like bearings of a stack are drawn once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians, sin
from typing import Final

from bearings.drawing.options import Palette
from bearings.drawing.strokes import Point, hatching, line, number, polygon, words
from bearings.engineering.quantities import BearingType, Face

DASHED: Final = "7 4"
CONTACT_DASH: Final = "6 3.5"
SPRING_ZONE: Final = 30.0


@dataclass(frozen=True, slots=True)
class BearingShape:
    """A bearing in drawing units, rounded by the layout so that like bearings are equal."""

    type: BearingType
    face: Face | None
    bore_radius: float
    outer_radius: float
    height: float
    contact_angle_deg: float
    ball_diameter: float | None
    sprung: bool
    size_known: bool

    @property
    def wall(self) -> float:
        """Radial room between bore and outside diameter."""
        return self.outer_radius - self.bore_radius

    @property
    def pitch_radius(self) -> float:
        return (self.outer_radius + self.bore_radius) / 2

    @property
    def whole_height(self) -> float:
        """Height with the springs under the seated ring."""
        return self.height + (SPRING_ZONE if self.sprung else 0.0)


class _Pen:
    """Draws one half after the other: radii become x, and an upward face turns the section over."""

    def __init__(self, shape: BearingShape, palette: Palette) -> None:
        self.shape = shape
        self.palette = palette
        self.dash = "" if shape.size_known else DASHED
        self.turned = shape.face == "up"
        self.strokes: list[str] = []

    def place(self, points: Sequence[Point], side: int) -> list[Point]:
        """Turn (radius, y of the bearing lying face down) into drawing points of one half."""
        height = self.shape.height
        return [(side * radius, height - y if self.turned else y) for radius, y in points]

    def ring(self, points: Sequence[Point], css: str, *, fill: str, spacing: float, slope: int) -> None:
        """Draw a cut ring on both sides; the same part is hatched the same way on both."""
        for side in (-1, 1):
            outline = self.place(points, side)
            self.strokes.append(polygon(outline, css, fill=fill, stroke="none"))
            if spacing:
                self.strokes.append(hatching(outline, spacing, slope, "hatch", stroke=self.palette.hatch))
            self.strokes.append(
                polygon(outline, "outline", fill="none", stroke=self.palette.ink, dash=self.dash)
            )

    def outer(self, points: Sequence[Point], *, hatched: bool = True) -> None:
        """Draw the outer ring or housing washer: darker, close hatching rising to the right."""
        self.ring(points, "outer-ring", fill=self.palette.steel, spacing=6.5 if hatched else 0, slope=-1)

    def inner(self, points: Sequence[Point], *, hatched: bool = True) -> None:
        """Draw the inner ring or shaft washer: lighter, wide hatching falling to the right."""
        self.ring(points, "inner-ring", fill=self.palette.steel_light, spacing=9.5 if hatched else 0, slope=1)

    def ball(self, radius: float) -> None:
        middle = self.shape.height / 2
        for side in (-1, 1):
            self.strokes.append(
                f'<circle class="ball" cx="{number(side * self.shape.pitch_radius)}" cy="{number(middle)}" '
                f'r="{number(radius)}" fill="{self.palette.sheet}" stroke="{self.palette.ink}" '
                'stroke-width="1.8"/>'
            )

    def contact_line(self, inner_end: Point, outer_end: Point) -> None:
        """Draw the line of contact in the hue of the direction."""
        face = self.shape.face
        hue = self.palette.up if face == "up" else self.palette.down
        for side in (-1, 1):
            start, end = self.place((inner_end, outer_end), side)
            self.strokes.append(line(start, end, f"contact {face}", stroke=hue, pen=2.4, dash=CONTACT_DASH))

    def question(self) -> None:
        """Write a question mark where the rolling element shows no direction."""
        size = min(26.0, self.shape.height * 0.52)
        for side in (-1, 1):
            self.strokes.append(
                words(
                    side * self.shape.pitch_radius,
                    self.shape.height / 2 + size * 0.36,
                    "?",
                    "unknown",
                    fill=self.palette.ink,
                    size=size,
                    weight=700,
                    anchor="middle",
                )
            )


def _chamfer(shape: BearingShape) -> float:
    return min(3.0, 0.06 * shape.wall, 0.1 * shape.height)


def _ball_radius(shape: BearingShape) -> float:
    """Return the drawn ball radius: the recorded ball where it fits between rings and faces."""
    most = min(0.72 * shape.wall, 0.84 * shape.height)
    wanted = shape.ball_diameter or 0.61 * shape.wall
    return max(min(wanted, most), 0.3 * most) / 2


def _outer_outline(shape: BearingShape, top_radius: float, bottom_radius: float) -> list[Point]:
    """Outline of an outer ring with one step at the ball, chamfered at the housing seat."""
    edge, height, cut = shape.outer_radius, shape.height, _chamfer(shape)
    return [
        (top_radius, 0),
        (edge - cut, 0),
        (edge, cut),
        (edge, height - cut),
        (edge - cut, height),
        (bottom_radius, height),
        (bottom_radius, height / 2),
        (top_radius, height / 2),
    ]


def _inner_outline(shape: BearingShape, top_radius: float, bottom_radius: float) -> list[Point]:
    """Outline of an inner ring with one step at the ball, chamfered at the shaft seat."""
    bore, height, cut = shape.bore_radius, shape.height, _chamfer(shape)
    return [
        (bore + cut, 0),
        (top_radius, 0),
        (top_radius, height / 2),
        (bottom_radius, height / 2),
        (bottom_radius, height),
        (bore + cut, height),
        (bore, height - cut),
        (bore, cut),
    ]


def _angular_contact(pen: _Pen) -> None:
    """Outer ring wide below and narrow above, inner ring the other way round (lying face down)."""
    shape = pen.shape
    radius, pitch, middle = _ball_radius(shape), shape.pitch_radius, shape.height / 2
    shoulder, lip = 0.34 * radius, 0.76 * radius
    pen.outer(_outer_outline(shape, pitch + lip, pitch + shoulder))
    pen.inner(_inner_outline(shape, pitch - shoulder, pitch - lip))
    pen.ball(radius)
    angle = radians(shape.contact_angle_deg)
    reach = min(1.3 * radius, 0.47 * shape.height / sin(angle), 0.46 * shape.wall / cos(angle))
    along, across = reach * cos(angle), reach * sin(angle)
    pen.contact_line((pitch - along, middle - across), (pitch + along, middle + across))


def _deep_groove(pen: _Pen) -> None:
    """Both rings alike on both sides."""
    shape = pen.shape
    radius, pitch = _ball_radius(shape), shape.pitch_radius
    pen.outer(_outer_outline(shape, pitch + 0.48 * radius, pitch + 0.48 * radius))
    pen.inner(_inner_outline(shape, pitch - 0.48 * radius, pitch - 0.48 * radius))
    pen.ball(radius)


def _cylindrical_roller(pen: _Pen) -> None:
    """Outer ring with two flanges, plain inner ring: nothing to carry thrust with."""
    shape = pen.shape
    pitch, height = shape.pitch_radius, shape.height
    half = 0.21 * shape.wall
    top, bottom = 0.2 * height, 0.8 * height
    outline = _outer_outline(shape, pitch + 0.35 * half, pitch + 0.35 * half)[:6]
    flange, track = pitch + 0.35 * half, pitch + half
    pen.outer([*outline, (flange, bottom), (track, bottom), (track, top), (flange, top)])
    pen.inner(_inner_outline(shape, pitch - half, pitch - half))
    roller = [(pitch - half, top), (pitch + half, top), (pitch + half, bottom), (pitch - half, bottom)]
    for side in (-1, 1):
        pen.strokes.append(
            polygon(
                pen.place(roller, side), "roller", fill=pen.palette.sheet, stroke=pen.palette.ink, width=1.8
            )
        )
        axis = pen.place([(pitch, top - 0.1 * height), (pitch, bottom + 0.1 * height)], side)
        pen.strokes.append(line(axis[0], axis[1], "axis", stroke=pen.palette.soft, pen=0.8, dash="8 2 2 2"))


def _spherical_roller_thrust(pen: _Pen) -> None:
    """Barrel rollers slanted between shaft washer (above) and housing washer (below), lying face down."""
    shape = pen.shape
    room = min(shape.wall, shape.height)
    centre = (shape.bore_radius + 0.55 * shape.wall, 0.52 * shape.height)
    angle = radians(50)
    press = (cos(angle), sin(angle))  # the way the load goes: outward and down
    axis = (sin(angle), -cos(angle))  # the roller's axis: outward and up
    length, thick, bulge = 0.58 * room, 0.46 * room, 0.035 * room

    def at(share: float, offset: float) -> Point:
        """Point at a share of the roller's length from its middle, offset towards the housing washer."""
        return (
            centre[0] + axis[0] * share * length + press[0] * offset,
            centre[1] + axis[1] * share * length + press[1] * offset,
        )

    shares = [step / 10 for step in range(-6, 7)]
    housing_track = [at(share, thick / 2 - bulge * 4 * share * share) for share in shares]
    shaft_track = [at(share, -thick / 2 + bulge * 4 * share * share) for share in shares]
    edge, cut = shape.outer_radius, _chamfer(shape)
    track_top = min(housing_track[-1][0], edge - 2), housing_track[-1][1]
    pen.outer(
        [
            (edge, track_top[1]),
            (edge, shape.height - cut),
            (edge - cut, shape.height),
            (housing_track[0][0], shape.height),
            *housing_track[:-1],
            track_top,
        ]
    )
    flange = at(0.62, -0.1 * thick)
    pen.inner(
        [
            (shape.bore_radius + cut, 0),
            (flange[0], 0),
            flange,
            at(0.52, -0.1 * thick),
            *[point for share, point in zip(shares, shaft_track, strict=True) if share <= 0.5][::-1],
            (shape.bore_radius, shaft_track[0][1]),
            (shape.bore_radius, cut),
        ]
    )
    body = [step / 10 for step in range(-5, 6)]
    barrel = [at(share, thick / 2 - bulge * 4 * share * share) for share in body]
    barrel += [at(share, -thick / 2 + bulge * 4 * share * share) for share in reversed(body)]
    for side in (-1, 1):
        pen.strokes.append(
            polygon(
                pen.place(barrel, side), "roller", fill=pen.palette.sheet, stroke=pen.palette.ink, width=1.8
            )
        )
        ends = pen.place([at(-0.62, 0), at(0.62, 0)], side)
        pen.strokes.append(line(ends[0], ends[1], "axis", stroke=pen.palette.soft, pen=0.8, dash="8 2 2 2"))
    pen.contact_line(at(0, -0.78 * thick), at(0, 0.78 * thick))


def _face_unknown(pen: _Pen) -> None:
    """Rings without steps or hatching, dashed, and a question mark: nothing that looks like an answer."""
    shape = pen.shape
    pen.dash = DASHED
    radius, pitch = _ball_radius(shape), shape.pitch_radius
    pen.outer(_outer_outline(shape, pitch + 0.55 * radius, pitch + 0.55 * radius), hatched=False)
    pen.inner(_inner_outline(shape, pitch - 0.55 * radius, pitch - 0.55 * radius), hatched=False)
    pen.ball(radius)
    pen.question()


def _springs(pen: _Pen) -> None:
    """Coil springs between the seated ring and the housing, on the wide face's side."""
    shape = pen.shape
    left, right = shape.outer_radius - 0.46 * shape.wall, shape.outer_radius - 0.1 * shape.wall
    top = shape.height
    for side in (-1, 1):
        pen.strokes.append(coil(pen.place([(left, top), (right, top + SPRING_ZONE)], side), pen.palette))


def coil(corners: Sequence[Point], palette: Palette) -> str:
    """Return a spring drawn as a zigzag of five turns between two opposite corners."""
    (x, y), (x_end, y_end) = corners
    turns = 5
    step = (y_end - y) / turns
    zigzag = [f"M{number(x)} {number(y)}H{number(x_end)}"]
    for turn in range(turns):
        ends = (x, x_end)[turn % 2]
        zigzag.append(f"L{number(ends)} {number(y + (turn + 1) * step)}")
    zigzag.append(f"M{number(x)} {number(y_end)}H{number(x_end)}")
    return (
        f'<path class="spring" d="{"".join(zigzag)}" fill="none" stroke="{palette.ink}" stroke-width="2" '
        f'stroke-linejoin="round"/>'
    )


_SECTIONS: Final[dict[BearingType, Callable[[_Pen], None]]] = {
    "angular_contact_ball": _angular_contact,
    "deep_groove_ball": _deep_groove,
    "cylindrical_roller": _cylindrical_roller,
    "spherical_roller_thrust": _spherical_roller_thrust,
}


@lru_cache(maxsize=512)
def bearing_section(shape: BearingShape, palette: Palette) -> str:
    """Return both halves of a bearing's section."""
    pen = _Pen(shape, palette)
    one_way = shape.type in ("angular_contact_ball", "spherical_roller_thrust")
    draw = _face_unknown if one_way and shape.face is None else _SECTIONS[shape.type]
    draw(pen)
    if shape.sprung:
        _springs(pen)
    return "".join(pen.strokes)
