"""Put the drawing of a stack together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from django.utils.translation import gettext as _

from bearings.drawing import annotations as ink
from bearings.drawing.bearing_sections import BearingShape
from bearings.drawing.controls import LABEL_GAP, Ground, draw_entry, label_size
from bearings.drawing.entries import TAIL, Entry, enter_items
from bearings.drawing.layout import SHEETS, Sheet
from bearings.drawing.mount import draw_centre_line, draw_housing, draw_mount, mount_top
from bearings.drawing.options import DrawingOptions, LoadLabel
from bearings.drawing.part_sections import WALL
from bearings.drawing.strokes import escape, number, text_width, words
from bearings.drawing.wording import Row, net_words, short_load_words, whole_in_words
from bearings.engineering.quantities import Assembly, Direction

# The families of the pages' style sheet, each with its own name: letters, accents, signs.
FACE: Final = "Barlow, 'Barlow Extended', 'Mountside Signs', sans-serif"
NARROW_FACE: Final = "'Barlow Condensed', 'Barlow Condensed Extended', 'Mountside Signs', sans-serif"
# A compact drawing keeps this much room for forces, so that drawings side by side are of one width.
LEAST_LABEL: Final = 57.0
# Points on paper for one unit of a card's drawing: its soft words, 18 units high, are 8 pt.
CARD_POINTS: Final = 0.446


def draw_stack(
    stack: Assembly,
    *,
    loads: Mapping[str, LoadLabel] | None = None,
    net_axial_n: float | None = None,
    options: DrawingOptions | None = None,
) -> str:
    """Return the section of a stack as one ``<svg>`` element.

    ``loads`` are the shares of one case by ref (bearings and guides), ``net_axial_n`` its whole thrust,
    down positive. The drawing has no style of its own beyond presentation attributes, so it obeys
    a strict content policy and prints as it is.
    """
    options = options or DrawingOptions()
    loads = loads or {}
    palette, sheet = options.palette, SHEETS[options.size]
    entries, guides = enter_items(stack, loads, options, sheet)
    everything = [*entries, *guides]
    columns = _columns(
        everything, sheet, with_loads=bool(loads) or net_axial_n is not None, labels=_labels(everything, options, sheet)
    )  # fmt: skip
    ground = Ground(
        options, sheet, columns, max([1.0, *(load.axial_n for load in loads.values())]), net_axial_n
    )
    summit = mount_top(entries[0].place)
    foot = everything[-1].bottom + TAIL + 12
    first_row = entries[0].place.slot - entries[0].place.slot_height / 2
    last_row = everything[-1].place.slot + everything[-1].place.slot_height / 2
    net_line = min(summit - 22, first_row - 26)
    top = min(summit - 40, first_row - 2, net_line - 26 if net_axial_n is not None else first_row)
    bottom = max(foot + 2, last_row + 4)
    places = [entry.place for entry in entries]
    strokes = [
        draw_housing(places, columns.centre, palette),
        draw_mount(places, [entry.place for entry in guides], columns.centre, palette),
        draw_centre_line(summit, foot, columns.centre, palette),
        _top_words(summit, ground),
        _net_thrust(net_line, ground),
        *(draw_entry(entry, ground) for entry in everything),
        _frames(everything, ground),
    ]
    if sheet.words_width and _has_assumed(everything):
        bottom += sheet.type_size + 6
        strokes.append(_assumed_note(bottom - 8, ground))
    return _on_sheet("".join(strokes), top, bottom, _title_and_story(everything, loads, ground), ground)


def _labels(entries: Sequence[Entry], options: DrawingOptions, sheet: Sheet) -> float:
    """Return how wide the forces beside the arrows are."""
    lines = [line for entry in entries if entry.load for line in short_load_words(entry.load, options)]
    return max((text_width(line, label_size(sheet)) for line in lines), default=0.0)


def _columns(entries: Sequence[Entry], sheet: Sheet, *, with_loads: bool, labels: float) -> ink.Columns:
    """Set the columns out from left to right: balloons, section, loads, directions, words."""
    half = max(entry.place.shape.outer_radius for entry in entries)
    balloon = sheet.balloon + 4
    centre = 2 * balloon + 26 + WALL + half
    right = centre + half + WALL
    load = right + 18 if with_loads else None
    arrow = right + (30 if with_loads else 18) + ink.ARROW_WIDTH / 2
    after = arrow + ink.ARROW_WIDTH / 2
    if sheet.words_width:
        width = after + 16 + sheet.words_width + 6
    else:
        width = after + (LABEL_GAP + max(labels, LEAST_LABEL) + 6 if with_loads else 6)
    return ink.Columns(balloon, centre, half, load, arrow, after + 16, width)


def _top_words(summit: float, ground: Ground) -> str:
    return words(
        ground.columns.centre,
        summit - 20,
        _("TOP OF MOUNT"),
        "top-of-mount ink",
        fill=ground.options.palette.ink,
        size=ground.sheet.type_size - 1,
        weight=700,
        anchor="middle",
        family=NARROW_FACE,
    )


def _net_thrust(middle: float, ground: Ground) -> str:
    """Write the whole thrust above the words, with its arrow: what the arrows below add up to."""
    net, x = ground.net_axial_n, ground.columns.load
    if net is None or x is None:
        return ""
    options, palette, sheet = ground.options, ground.options.palette, ground.sheet
    direction: Direction = "up" if net < 0 else "down"
    arrow = ink.load_arrow(x, middle, 26, direction, palette) if net else ink.no_load(x, middle, palette)
    if sheet.words_width:
        rows = [Row(net_words(net, options), "plain")]
        if options.load_case:
            rows.append(Row(options.load_case, "soft"))
        return arrow + ink.draw_rows(ink.set_rows(rows, sheet), ground.columns.words, middle, sheet, palette)
    size = sheet.type_size - 3
    text = options.force_text(abs(net))
    return arrow + words(x + 12, middle + size * 0.35, text, "ink", fill=palette.ink, size=size, weight=700)


def _frames(entries: Sequence[Entry], ground: Ground) -> str:
    """Frame the selected item, then over it and everything else those that differ."""
    options = ground.options
    frames = [
        ink.frame(ground.columns, entry.place, options.palette, marked=marked)
        for marked in (False, True)
        for entry in entries
        if (entry.place.ref in options.marks if marked else entry.place.ref == options.selected)
    ]
    return "".join(frames)


def _has_assumed(entries: Sequence[Entry]) -> bool:
    for entry in entries:
        shape = entry.place.shape
        if not (shape.size_known if isinstance(shape, BearingShape) else shape.ring_known):
            return True
    return False


def _assumed_note(baseline: float, ground: Ground) -> str:
    """Say what dashed outlines mean."""
    return words(
        4,
        baseline,
        _("Dashed: size or place not recorded, drawn as assumed."),
        "soft",
        fill=ground.options.palette.soft,
        size=ground.sheet.type_size - 2,
    )


def _title_and_story(entries: Sequence[Entry], loads: Mapping[str, LoadLabel], ground: Ground) -> str:
    options = ground.options
    title = options.summary or _("Thrust stack, section through the mount")
    numbered = [(entry.place.ref, entry.source) for entry in entries]
    story = whole_in_words(numbered, loads, ground.net_axial_n, options)
    return (
        f'<title id="{options.id_prefix}-title">{escape(title)}</title>'
        f'<desc id="{options.id_prefix}-desc">{escape(story)}</desc>'
    )


def _on_sheet(strokes: str, top: float, bottom: float, story: str, ground: Ground) -> str:
    """Wrap the strokes with size, names and faces. A drawing with controls is a group, not one image."""
    options = ground.options
    width, height = number(ground.columns.width), number(bottom - top)
    # A card is printed: its smallest words come out at 8 pt, however many parts there are.
    wide, tall = width, height
    if options.size == "card":
        wide, tall = (f"{number(CARD_POINTS * one)}pt" for one in (ground.columns.width, bottom - top))
    role = "group" if options.link else "img"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="stack-drawing {options.size}" role="{role}" '
        f'aria-labelledby="{options.id_prefix}-title" aria-describedby="{options.id_prefix}-desc" '
        f'viewBox="0 {number(top)} {width} {height}" width="{wide}" height="{tall}" '
        f'font-family="{FACE}">{story}{strokes}</svg>'
    )
