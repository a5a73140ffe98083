"""Pen strokes: numbers, escaped text, polygons, hatching. Strings only, for speed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil

Point = tuple[float, float]

_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;"})
# XML 1.0 has no way to write most control characters; they become a visible replacement mark.
_FORBIDDEN = (*range(9), 11, 12, *range(14, 32), *range(0xD800, 0xE000), 0xFFFE, 0xFFFF)
_ESCAPES.update(dict.fromkeys(_FORBIDDEN, "\ufffd"))


def escape(text: str) -> str:
    """Return text that is safe inside an element and inside a quoted attribute."""
    return text.translate(_ESCAPES)


def number(value: float) -> str:
    """Return a coordinate with at most one decimal."""
    text = f"{value:.1f}"
    if text.endswith(".0"):
        text = text[:-2]
    return "0" if text == "-0" else text


def point_list(points: Iterable[Point]) -> str:
    """Return points as the ``points`` attribute of a polygon."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def polygon(
    points: Iterable[Point], css: str, *, fill: str, stroke: str, width: float = 1.6, dash: str = ""
) -> str:
    """Return a closed outline."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<polygon class="{css}" points="{point_list(points)}" fill="{fill}" stroke="{stroke}" '
        f'stroke-width="{number(width)}" stroke-linejoin="round"{dashes}/>'
    )


def rectangle(
    x: float, y: float, width: float, height: float, css: str, *, fill: str, stroke: str, pen: float = 1.6
) -> str:
    """Return an upright rectangle."""
    return (
        f'<rect class="{css}" x="{number(x)}" y="{number(y)}" '
        f'width="{number(width)}" height="{number(height)}" '
        f'fill="{fill}" stroke="{stroke}" stroke-width="{number(pen)}"/>'
    )


def line(start: Point, end: Point, css: str, *, stroke: str, pen: float = 1.0, dash: str = "") -> str:
    """Return a straight stroke."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line class="{css}" x1="{number(start[0])}" y1="{number(start[1])}" x2="{number(end[0])}" '
        f'y2="{number(end[1])}" stroke="{stroke}" stroke-width="{number(pen)}"{dashes}/>'
    )


def hatching(points: Sequence[Point], spacing: float, slope: int, css: str, *, stroke: str) -> str:
    """Return 45 degree lines that end on the outline, so that no renderer has to clip.

    ``slope`` 1 falls to the right, -1 rises to the right.
    """
    levels = [y - slope * x for x, y in points]
    strokes: list[str] = []
    count = len(points)
    level = ceil(min(levels) / spacing) * spacing
    highest = max(levels)
    while level < highest:
        crossings: list[float] = []
        for index in range(count):
            here, there = levels[index] - level, levels[(index + 1) % count] - level
            if (here < 0) != (there < 0):
                share = here / (here - there)
                x, x_next = points[index][0], points[(index + 1) % count][0]
                crossings.append(x + share * (x_next - x))
        crossings.sort()
        for left, right in zip(crossings[::2], crossings[1::2], strict=False):
            if right - left > 0.6:
                strokes.append(
                    f"M{number(left)} {number(slope * left + level)}"
                    f"L{number(right)} {number(slope * right + level)}"
                )
        level += spacing
    return (
        f'<path class="{css}" d="{"".join(strokes)}" fill="none" stroke="{stroke}" stroke-width="0.8"/>'
        if strokes
        else ""
    )


def words(
    x: float,
    y: float,
    text: str,
    css: str,
    *,
    fill: str,
    size: float,
    weight: int = 500,
    anchor: str = "start",
    family: str = "",
) -> str:
    """Return one line of text whose baseline is at ``y``. The text is escaped here."""
    ends = f' text-anchor="{anchor}"' if anchor != "start" else ""
    face = f' font-family="{family}"' if family else ""
    return (
        f'<text class="{css}" x="{number(x)}" y="{number(y)}" fill="{fill}" font-size="{number(size)}" '
        f'font-weight="{weight}"{ends}{face}>{escape(text)}</text>'
    )


def text_width(text: str, size: float) -> float:
    """Return a cautious width of text set in the heaviest cut of the drawing's face; no font file is read for it."""
    return sum(_letter_width(letter) for letter in text) * size


def _letter_width(letter: str) -> float:
    # Held against the font file: no label of the drawing comes out narrower than it is drawn.
    if letter in "ijltf.,:;'|!()- ":
        return 0.29
    if letter in "mwMW…":
        return 0.88
    return 0.62 if letter.isupper() else 0.55


def wrap(text: str, size: float, width: float, most_lines: int) -> list[str]:
    """Break text into lines that fit a width; what does not fit ends in an ellipsis."""
    lines: list[str] = [""]
    for word in filter(None, text.split(" ")):  # a no-break space keeps a figure and its unit together
        longer = f"{lines[-1]} {word}".strip()
        if not lines[-1] or text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    cut = lines[:most_lines]
    if len(lines) > most_lines:
        cut[-1] += " …"
    return [_shorten(part, size, width) for part in cut]


def _shorten(text: str, size: float, width: float) -> str:
    if text_width(text, size) <= width:
        return text
    while text and text_width(text + "…", size) > width:
        text = text[:-1]
    return text.rstrip() + "…"
