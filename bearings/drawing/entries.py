"""The numbered things of a drawing with their words, each at its place in a row of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from bearings.drawing.annotations import set_rows
from bearings.drawing.layout import Placed, Sheet, place_items, section_scale, spread
from bearings.drawing.options import DrawingOptions, LoadLabel
from bearings.drawing.wording import Row, bearing_rows, guide_rows, load_words, part_rows
from bearings.engineering.quantities import Assembly, Bearing, Carries, Guide, Item, Part, item_refs

TAIL: Final = 26.0  # mount or shaft below its last item
BREAK: Final = 16.0  # between the mount's break line and the shaft's


@dataclass(frozen=True, slots=True)
class Entry:
    """One numbered thing of the drawing with its words, ready to be drawn."""

    place: Placed
    source: Item | Guide
    rows: Sequence[Row]
    load: LoadLabel | None

    @property
    def carries(self) -> Carries:
        return "none" if isinstance(self.source, Part) else self.source.carries

    @property
    def bottom(self) -> float:
        return self.place.top + self.place.height


def enter_items(
    stack: Assembly, loads: Mapping[str, LoadLabel], options: DrawingOptions, sheet: Sheet
) -> tuple[list[Entry], list[Entry]]:
    """Return the entries of the stack and, below a break, those of the guides."""
    refs = item_refs(stack.items)
    rows = [_rows(ref, item, loads, options, sheet) for ref, item in zip(refs, stack.items, strict=True)]
    bearings = [item for item in stack.items if isinstance(item, Bearing)]
    lines = [len(row) for row, item in zip(rows, stack.items, strict=True) if isinstance(item, Bearing)]
    scale = section_scale(bearings, sheet, max(sheet.least_row, _row_height(max(lines, default=0), sheet)))
    placed = place_items(refs, stack.items, scale, sheet, 0.0)
    entries = [
        Entry(place, place.item, row, loads.get(place.ref)) for place, row in zip(placed, rows, strict=True)
    ]
    _give_slots(entries, sheet)
    top = entries[-1].bottom + 2 * TAIL + BREAK
    guides: list[Entry] = []
    for index, guide in enumerate(stack.guides):
        place = place_items([f"g{index + 1}"], [guide.bearing], scale, sheet, top)[0]
        row = _rows(place.ref, guide, loads, options, sheet)
        guides.append(Entry(place, guide, row, loads.get(place.ref)))
        top += max(place.height, _row_height(len(row), sheet)) + TAIL
    _give_slots(guides, sheet)
    return entries, guides


def _rows(
    ref: str, source: Item | Guide, loads: Mapping[str, LoadLabel], options: DrawingOptions, sheet: Sheet
) -> list[Row]:
    """Return the words of one item, broken into lines; none on a drawing without words."""
    if not sheet.words_width:
        return []
    if isinstance(source, Part):
        rows = part_rows(source, options)
    elif isinstance(source, Guide):
        rows = guide_rows(source, options)
    else:
        rows = bearing_rows(source, options)
    if ref in loads:
        rows.append(Row(load_words(loads[ref], options), "plain"))
    if ref in options.marks:
        rows.append(Row(options.marks[ref], "stop"))
    return set_rows(rows, sheet)


def _row_height(lines: int, sheet: Sheet) -> float:
    return max(2 * sheet.balloon + 1, lines * sheet.line_height + 8)


def _give_slots(entries: Sequence[Entry], sheet: Sheet) -> None:
    """Give every entry a row of its own for balloon and words."""
    heights = [_row_height(len(entry.rows), sheet) for entry in entries]
    middles = spread([entry.place.middle for entry in entries], heights)
    for entry, middle, height in zip(entries, middles, heights, strict=True):
        entry.place.slot, entry.place.slot_height = middle, height
