"""Balloons, arrows, words, outlines: what is written around the section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from bearings.drawing.layout import Placed, Sheet
from bearings.drawing.options import Palette
from bearings.drawing.strokes import line, number, polygon, rectangle, words, wrap
from bearings.drawing.wording import Row
from bearings.engineering.quantities import Carries, Direction

ARROW_WIDTH: Final = 24.0
ARROW_TALLEST: Final = 44.0
LOAD_ARROW_LEAST: Final = 10.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the columns stand, from left to right; ``centre`` is the centre line."""

    balloon: float
    centre: float
    half: float
    load: float | None
    arrow: float
    words: float
    width: float


def arrow_points(x: float, middle: float, height: float, direction: Direction) -> list[tuple[float, float]]:
    """Return a block arrow about a middle."""
    sign = 1 if direction == "down" else -1
    half, head, neck = ARROW_WIDTH / 2, height * 0.42, ARROW_WIDTH / 6
    tip, tail = middle + sign * height / 2, middle - sign * height / 2
    barb = tip - sign * head
    return [
        (x - neck, tail),
        (x + neck, tail),
        (x + neck, barb),
        (x + half, barb),
        (x, tip),
        (x - half, barb),
        (x - neck, barb),
    ]


@lru_cache(maxsize=256)
def direction_arrow(carries: Carries, x: float, middle: float, height: float, palette: Palette) -> str:
    """Return the arrow of a direction: filled is down, hollow is up, half and half is both ways."""
    height = min(height, ARROW_TALLEST)
    if carries == "down":
        points = arrow_points(x, middle, height, "down")
        return polygon(points, "arrow down", fill=palette.down, stroke=palette.down, width=2.2)
    if carries == "up":
        points = arrow_points(x, middle, height, "up")
        return polygon(points, "arrow up", fill=palette.sheet, stroke=palette.up, width=2.6)
    if carries == "both":
        part = height * 0.55
        up = arrow_points(x - 7, middle, part, "up")
        down = arrow_points(x + 7, middle, part, "down")
        narrow_up = [(x - 7 + (px - x + 7) * 0.62, py) for px, py in up]
        narrow_down = [(x + 7 + (px - x - 7) * 0.62, py) for px, py in down]
        return polygon(narrow_up, "arrow up", fill=palette.sheet, stroke=palette.up, width=2.0) + polygon(
            narrow_down, "arrow down", fill=palette.down, stroke=palette.down, width=2.0
        )
    return ""


def load_arrow(x: float, middle: float, length: float, direction: Direction, palette: Palette) -> str:
    """Return the arrow of a force: a line as long as the force is great, with a slim head."""
    sign = 1 if direction == "down" else -1
    length = max(length, LOAD_ARROW_LEAST)
    tail, tip = middle - sign * length / 2, middle + sign * length / 2
    head = min(11.0, length * 0.6)
    barb = tip - sign * head
    return line((x, tail), (x, barb), "load", stroke=palette.ink, pen=3) + polygon(
        [(x, tip), (x - 5, barb), (x + 5, barb)], "load-head", fill=palette.ink, stroke=palette.ink, width=1
    )


def no_load(x: float, middle: float, palette: Palette) -> str:
    """Return the sign for a bearing that carries nothing: a short bar."""
    return line((x - 6, middle), (x + 6, middle), "load", stroke=palette.ink, pen=3)


def balloon(ref: str, x: float, y: float, sheet: Sheet, palette: Palette, *, selected: bool) -> str:
    """Return the number in its ring; the selected one is white on ink."""
    fill, ink = (palette.ink, palette.sheet) if selected else (palette.sheet, palette.ink)
    css, number_css = ("balloon chosen", "sheet") if selected else ("balloon sheet", "ink")
    size = sheet.type_size if len(ref) < 3 else sheet.type_size * 0.8
    return (
        f'<circle class="{css}" cx="{number(x)}" cy="{number(y)}" r="{number(sheet.balloon)}" fill="{fill}" '
        f'stroke="{palette.ink}" stroke-width="2"/>'
        + words(x, y + size * 0.35, ref, number_css, fill=ink, size=size, weight=700, anchor="middle")
    )


def leader(x: float, y: float, x_end: float, y_end: float, palette: Palette) -> str:
    """Return the line from a balloon into its item, ending in a dot; slanted in the margin only."""
    elbow = x + 9
    bend = f"H{number(elbow)}L{number(x + 24)} {number(y_end)}" if abs(y - y_end) > 1 else ""
    return (
        f'<path class="leader axis" d="M{number(x)} {number(y)}{bend}H{number(x_end)}" fill="none" '
        f'stroke="{palette.soft}" stroke-width="0.9"/>'
        f'<circle class="leader-dot" cx="{number(x_end)}" cy="{number(y_end)}" r="2" fill="{palette.ink}"/>'
    )


def frame(columns: Columns, place: Placed, palette: Palette, *, marked: bool) -> str:
    """Return the frame across both halves: heavy for a difference, medium for the selected item."""
    grow, height = 4.0, max(place.height, 6.0)
    return rectangle(
        columns.centre - columns.half - grow,
        place.middle - height / 2,
        2 * (columns.half + grow),
        height,
        "mark" if marked else "selected",
        fill="none",
        stroke=palette.stop if marked else palette.ink,
        pen=4.4 if marked else 2.6,
    )


def set_rows(rows: Sequence[Row], sheet: Sheet) -> list[Row]:
    """Break the words of an item into lines that fit the words column."""
    broken: list[Row] = []
    for row in rows:
        size = row_size(row, sheet)
        broken += [Row(part, row.tone) for part in wrap(row.text, size, sheet.words_width, sheet.words_lines)]
    return broken


def row_size(row: Row, sheet: Sheet) -> float:
    return sheet.type_size - 1 if row.tone == "soft" else sheet.type_size


def draw_rows(rows: Sequence[Row], x: float, middle: float, sheet: Sheet, palette: Palette) -> str:
    """Return lines of words centred about a middle."""
    fills = {
        "down": palette.down,
        "up": palette.up,
        "plain": palette.ink,
        "soft": palette.ink,
        "stop": palette.stop,
    }
    baseline = middle - sheet.line_height * len(rows) / 2 + sheet.line_height * 0.76
    lines = []
    for index, row in enumerate(rows):
        lines.append(
            words(
                x,
                baseline + index * sheet.line_height,
                row.text,
                f"words {row.tone}",
                fill=fills[row.tone],
                size=row_size(row, sheet),
                weight=500 if row.tone == "soft" else 700,
            )
        )
    return "".join(lines)
