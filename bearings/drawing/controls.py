"""One item drawn whole: section, balloon, arrows, words; as a control when links are asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from bearings.drawing import annotations as ink
from bearings.drawing.bearing_sections import BearingShape, bearing_section
from bearings.drawing.entries import Entry
from bearings.drawing.layout import Placed, Sheet
from bearings.drawing.options import DrawingOptions
from bearings.drawing.part_sections import WALL, part_section
from bearings.drawing.strokes import escape, line, number, words
from bearings.drawing.wording import item_sentence, short_load_words
from bearings.engineering.quantities import Bearing, Direction

# From an arrow to the force beside it, in a drawing without a column of words.
LABEL_GAP: Final = 5.0


@dataclass(frozen=True, slots=True)
class Ground:
    """What every item of one drawing shares."""

    options: DrawingOptions
    sheet: Sheet
    columns: ink.Columns
    most_load_n: float
    net_axial_n: float | None


def draw_entry(entry: Entry, ground: Ground) -> str:
    """Return one numbered thing as a group, a link or a focusable group."""
    strokes = "".join(
        [
            _hit_areas(entry.place, ground.columns) if ground.options.link else "",
            _section(entry.place, ground),
            _balloon(entry.place, ground),
            _direction(entry, ground),
            _load(entry, ground),
            ink.draw_rows(
                entry.rows, ground.columns.words, entry.place.slot, ground.sheet, ground.options.palette
            ),
        ]
    )
    return _wrapped(entry, strokes, ground)


def _section(place: Placed, ground: Ground) -> str:
    shape, palette = place.shape, ground.options.palette
    shift = 0.0
    if isinstance(shape, BearingShape):
        section = bearing_section(shape, palette)
        if shape.sprung and shape.face == "up":
            shift = place.height - shape.height
    else:
        section = part_section(shape, palette)
    corner = f"{number(ground.columns.centre)} {number(place.top + shift)}"
    return f'<g class="section" transform="translate({corner})">{section}</g>'


def _hit_areas(place: Placed, columns: ink.Columns) -> str:
    """Return what a finger may touch: the whole row, and the section where it lies beside its row."""
    grow = max(0.0, 24 - place.height) / 2
    return (
        f'<rect class="hit" x="0" y="{number(place.slot - place.slot_height / 2)}" '
        f'width="{number(columns.width)}" height="{number(place.slot_height)}" '
        'fill="none" pointer-events="all"/>'
        f'<rect class="hit" x="{number(columns.centre - columns.half)}" y="{number(place.top - grow)}" '
        f'width="{number(2 * columns.half)}" height="{number(place.height + 2 * grow)}" '
        'fill="none" pointer-events="all"/>'
    )


def _balloon(place: Placed, ground: Ground) -> str:
    columns, sheet, palette = ground.columns, ground.sheet, ground.options.palette
    touch = columns.centre - place.edge_radius + 4
    selected = place.ref == ground.options.selected
    return ink.leader(
        columns.balloon + sheet.balloon + 1, place.slot, touch, place.middle, palette
    ) + ink.balloon(place.ref, columns.balloon, place.slot, sheet, palette, selected=selected)


def _direction(entry: Entry, ground: Ground) -> str:
    """Return the arrow of what can be carried, or a question mark where that is not known."""
    place, columns, palette = entry.place, ground.columns, ground.options.palette
    strokes = ""
    if entry.rows and abs(place.slot - place.middle) > place.height / 2 + 4:
        start = (columns.centre + place.edge_radius + 2, place.middle)
        end = (columns.centre + columns.half + WALL + 6, place.slot)
        strokes = line(start, end, "leader axis", stroke=palette.soft, pen=0.7)
    if entry.carries != "none":
        room = place.slot_height - 6
        return strokes + ink.direction_arrow(entry.carries, columns.arrow, place.slot, room, palette)
    if isinstance(entry.source, Bearing) and entry.source.is_one_way:
        return strokes + words(
            columns.arrow, place.slot + 10, "?", "ink", fill=palette.ink, size=28, weight=700, anchor="middle"
        )
    return strokes


def _load(entry: Entry, ground: Ground) -> str:
    """Return the arrow of what is carried; a compact drawing writes the force beside it."""
    load, x, palette = entry.load, ground.columns.load, ground.options.palette
    if load is None or x is None:
        return ""
    middle = entry.place.slot
    idle = load.unloaded or load.axial_n <= 0
    if idle:
        sign = ink.no_load(x, middle, palette)
    else:
        length = (entry.place.slot_height - 6) * load.axial_n / ground.most_load_n
        sign = ink.load_arrow(x, middle, length, _load_direction(entry, ground), palette)
    if ground.sheet.words_width:
        return sign
    return sign + _load_label(short_load_words(load, ground.options), middle, ground)


def label_size(sheet: Sheet) -> float:
    """Return the type size of the words in a compact drawing."""
    return sheet.type_size - 3


def _load_label(lines: list[str], middle: float, ground: Ground) -> str:
    size = label_size(ground.sheet)
    after = ground.columns.arrow + ink.ARROW_WIDTH / 2 + LABEL_GAP
    first = middle + size * (0.35 - 0.55 * (len(lines) - 1))
    return "".join(
        words(
            after,
            first + 1.1 * size * index,
            text,
            "ink",
            fill=ground.options.palette.ink,
            size=size,
            weight=700,
        )
        for index, text in enumerate(lines)
    )


def _load_direction(entry: Entry, ground: Ground) -> Direction:
    if entry.load is not None and entry.load.direction is not None:
        return entry.load.direction
    if entry.carries in ("down", "up"):
        return "up" if entry.carries == "up" else "down"
    return "up" if (ground.net_axial_n or 0) < 0 else "down"


def _wrapped(entry: Entry, strokes: str, ground: Ground) -> str:
    """Return the strokes in their group; a caller's attributes make it a control.

    A control is called by the words it shows; where a drawing shows none, it gets a name of its own.
    """
    ref, options = entry.place.ref, ground.options
    selected = ref == options.selected
    css = "item" + (" is-selected" if selected else "") + (" is-marked" if ref in options.marks else "")
    if options.link is None:
        return f'<g class="{css}" data-ref="{ref}">{strokes}</g>'
    attributes = dict(options.link(ref))
    tag = "a" if "href" in attributes else "g"
    if tag == "g":
        attributes = {"tabindex": "0", "role": "button", **attributes}
    if not (ground.sheet.words_width and entry.rows):
        attributes.setdefault("aria-label", item_sentence(ref, entry.source, entry.load, options))
    if selected:
        attributes.setdefault("aria-current", "true")
    written = "".join(f' {name}="{escape(value)}"' for name, value in attributes.items())
    return f'<{tag} class="{css}" data-ref="{ref}"{written}>{strokes}</{tag}>'
