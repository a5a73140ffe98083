"""Put the drawing of a stack together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from bearings.drawing import annotations as ink
from bearings.drawing.bearing_sections import BearingShape, bearing_section
from bearings.drawing.layout import SHEETS, Placed, Sheet, place_items, section_scale, shaft_outline, spread
from bearings.drawing.options import DrawingOptions, LoadLabel
from bearings.drawing.part_sections import WALL, part_section
from bearings.drawing.strokes import Point, escape, line, number, polygon, rectangle, words
from bearings.drawing.wording import (
    Row,
    bearing_rows,
    guide_rows,
    item_sentence,
    load_words,
    net_words,
    part_rows,
    whole_in_words,
)
from bearings.engineering.quantities import Bearing, Carries, Direction, Guide, Item, Part, Stack, item_refs

STUB: Final = 22.0  # the mount above the first item, where no flange is recorded
TAIL: Final = 26.0  # the mount below the last item
BREAK: Final = 16.0
# The families of the pages' style sheet, each with its own name: letters, accents, signs.
FACE: Final = "Barlow, 'Barlow Extended', 'Mountside Signs', sans-serif"
NARROW_FACE: Final = "'Barlow Condensed', 'Barlow Condensed Extended', 'Mountside Signs', sans-serif"
DOTTED: Final = "1.5 3"
CENTRE_DASH: Final = "14 3 3 3"


@dataclass(frozen=True, slots=True)
class _Entry:
    """One numbered thing of the drawing with its words, ready to be drawn."""

    place: Placed
    source: Item | Guide
    carries: Carries
    rows: Sequence[Row]
    load: LoadLabel | None


class _Drawing:
    """One drawing while it is made; nothing of it outlives the call."""

    def __init__(
        self, stack: Stack, loads: Mapping[str, LoadLabel], net_axial_n: float | None, options: DrawingOptions
    ) -> None:
        self.options = options
        self.palette = options.palette
        self.sheet: Sheet = SHEETS[options.size]
        self.loads = loads
        self.net_axial_n = net_axial_n
        self.most_load = max([1.0, *(load.axial_n for load in loads.values())])
        self.stack_entries = self._enter_stack(stack)
        bottom = self.stack_entries[-1].place.top + self.stack_entries[-1].place.height
        self.mount_bottom = bottom + TAIL
        self.guide_entries = self._enter_guides(stack, self.mount_bottom + BREAK + TAIL)
        self.columns = self._columns()

    def _enter_stack(self, stack: Stack) -> list[_Entry]:
        refs = item_refs(stack.items)
        rows = [self._rows(ref, item) for ref, item in zip(refs, stack.items, strict=True)]
        bearings = [item for item in stack.items if isinstance(item, Bearing)]
        lines = max((len(row) for row, item in zip(rows, stack.items, strict=True) if isinstance(item, Bearing)), default=0)
        self.scale = section_scale(bearings, self.sheet, max(self.sheet.least_row, self._row_height(lines)))
        placed = place_items(refs, stack.items, self.scale, self.sheet, 0.0)
        return self._with_slots(
            [self._entry(place, place.item, row) for place, row in zip(placed, rows, strict=True)]
        )

    def _enter_guides(self, stack: Stack, top: float) -> list[_Entry]:
        """Guides stand apart below, one under the other with some shaft between."""
        entries: list[_Entry] = []
        for index, guide in enumerate(stack.guides):
            place = place_items([f"g{index + 1}"], [guide.bearing], self.scale, self.sheet, top)[0]
            rows = self._rows(place.ref, guide)
            entries.append(self._entry(place, guide, rows))
            top += max(place.height, self._row_height(len(rows))) + TAIL
        return self._with_slots(entries)

    def _rows(self, ref: str, source: Item | Guide) -> list[Row]:
        """Return the words of one item, broken into lines; none on a drawing without words."""
        if not self.sheet.words_width:
            return []
        if isinstance(source, Part):
            rows = part_rows(source, self.options)
        elif isinstance(source, Guide):
            rows = guide_rows(source, self.options)
        else:
            rows = bearing_rows(source, self.options)
        if ref in self.loads:
            rows.append(Row(load_words(self.loads[ref], self.options), "plain"))
        if ref in self.options.marks:
            rows.append(Row(self.options.marks[ref], "stop"))
        return ink.set_rows(rows, self.sheet)

    def _entry(self, place: Placed, source: Item | Guide, rows: Sequence[Row]) -> _Entry:
        carries: Carries = "none" if isinstance(source, Part) else source.carries
        return _Entry(place, source, carries, rows, self.loads.get(place.ref))

    def _row_height(self, lines: int) -> float:
        return max(2 * self.sheet.balloon + 1, lines * self.sheet.line_height + 8)

    def _with_slots(self, entries: list[_Entry]) -> list[_Entry]:
        """Give every entry a row of its own for balloon and words."""
        heights = [self._row_height(len(entry.rows)) for entry in entries]
        middles = spread([entry.place.middle for entry in entries], heights)
        for entry, middle, height in zip(entries, middles, heights, strict=True):
            entry.place.slot, entry.place.slot_height = middle, height
        return entries

    def _columns(self) -> ink.Columns:
        entries = [*self.stack_entries, *self.guide_entries]
        half = max(entry.place.shape.outer_radius for entry in entries)
        balloon = self.sheet.balloon + 4
        centre = 2 * balloon + 26 + WALL + half
        right = centre + half + WALL
        load = right + 18 if self.loads else None
        arrow = (right + 18 if load is None else load + 12) + ink.ARROW_WIDTH / 2
        column = arrow + ink.ARROW_WIDTH / 2 + 16
        if self.sheet.words_width:
            width = column + self.sheet.words_width + 6
        else:
            width = arrow + ink.ARROW_WIDTH / 2 + (64 if self.loads else 6)
        return ink.Columns(balloon, centre, half, load, arrow, column, width)

    @property
    def entries(self) -> list[_Entry]:
        return [*self.stack_entries, *self.guide_entries]

    # --- the section ---------------------------------------------------------------------------------

    def mount(self) -> str:
        """Draw mount and, below a break, the shaft with its guides."""
        first = self.stack_entries[0].place
        flanged = isinstance(first.item, Part) and first.item.kind == "shoulder" and first.shape.ring != "outer"  # type: ignore[union-attr]
        self.mount_top = first.top if flanged else first.top - STUB
        strokes = [self._body([entry.place for entry in self.stack_entries], self.mount_top, self.mount_bottom)]
        if self.guide_entries:
            last = self.guide_entries[-1].place
            strokes.append(
                self._body(
                    [entry.place for entry in self.guide_entries],
                    self.mount_bottom + BREAK,
                    last.top + last.height + TAIL,
                    broken_top=True,
                )
            )
        return "".join(strokes)

    def _body(self, placed: Sequence[Placed], top: float, bottom: float, *, broken_top: bool = False) -> str:
        centre = self.columns.centre
        right = shaft_outline(placed, top, bottom)
        left = [(-radius, y) for radius, y in reversed(right)]
        lower = _break(right[-1][0], bottom) if self.guide_entries and not broken_top else []
        upper = _break(right[0][0], top)[::-1] if broken_top else []
        outline = [(centre + x, y) for x, y in [*right, *lower, *left, *upper]]
        return polygon(outline, "mount sheet", fill=self.palette.sheet, stroke=self.palette.ink, width=2)

    def centre_line(self) -> str:
        last = self.entries[-1].place
        end = last.top + last.height + TAIL + 12
        x = self.columns.centre
        start = self.mount_top - 12
        return line((x, start), (x, end), "centre-line", stroke=self.palette.soft, pen=1.1, dash=CENTRE_DASH)

    def top_words(self) -> str:
        return words(
            self.columns.centre, self.mount_top - 20, _("TOP OF MOUNT"), "top-of-mount", fill=self.palette.ink,
            size=self.sheet.type_size - 1, weight=700, anchor="middle", family=NARROW_FACE,
        )

    def housing(self) -> str:
        """Dot the housing around the outer rings; its lips are left out where a recorded part holds the ring."""
        places = [entry.place for entry in self.stack_entries]
        outer = [place for place in places if _reaches_housing(place)]
        if not outer:
            return ""
        top, bottom = outer[0].top, outer[-1].top + outer[-1].height
        lip = 12.0
        profile: list[Point] = []
        for place in outer:
            radius = place.shape.outer_radius
            profile += [(radius, place.top), (radius, place.top + place.height)]
        wall = max(radius for radius, _y in profile) + WALL
        if isinstance(outer[0].shape, BearingShape):
            inside = outer[0].shape.outer_radius - 0.14 * outer[0].shape.wall
            profile = [(inside, top - lip), (inside, top), *profile]
            top -= lip
        if isinstance(outer[-1].shape, BearingShape):
            inside = outer[-1].shape.outer_radius - 0.14 * outer[-1].shape.wall
            profile += [(inside, bottom), (inside, bottom + lip)]
            bottom += lip
        outline = [(wall, top), *profile, (wall, bottom)]
        return "".join(
            polygon(
                [(self.columns.centre + side * radius, y) for radius, y in outline], "housing",
                fill="none", stroke=self.palette.ink, width=1.3, dash=DOTTED,
            )
            for side in (-1, 1)
        )

    # --- what is written at each item ----------------------------------------------------------------

    def entry(self, entry: _Entry) -> str:
        """Draw one numbered thing: section, balloon, arrows, words; as a control when links are asked for."""
        place = entry.place
        shape = place.shape
        section = bearing_section(shape, self.palette) if isinstance(shape, BearingShape) else part_section(shape, self.palette)
        lying_up = isinstance(shape, BearingShape) and shape.sprung and shape.face == "up"
        shift = place.height - shape.height if lying_up else 0.0
        strokes = [
            self._hit_areas(entry) if self.options.link else "",
            f'<g class="section" transform="translate({number(self.columns.centre)} {number(place.top + shift)})">{section}</g>',
            self._balloon(entry),
            self._right_side(entry),
        ]
        return self._control(entry, "".join(strokes))

    def _hit_areas(self, entry: _Entry) -> str:
        place, columns = entry.place, self.columns
        grow = max(0.0, 24 - place.height) / 2
        return (
            f'<rect class="hit" x="0" y="{number(place.slot - place.slot_height / 2)}" width="{number(columns.width)}" '
            f'height="{number(place.slot_height)}" rx="4" fill="none" pointer-events="all"/>'
            f'<rect class="hit-section" x="{number(columns.centre - columns.half)}" y="{number(place.top - grow)}" '
            f'width="{number(2 * columns.half)}" height="{number(place.height + 2 * grow)}" fill="none" pointer-events="all"/>'
        )

    def _balloon(self, entry: _Entry) -> str:
        place, columns = entry.place, self.columns
        start = columns.balloon + self.sheet.balloon + 1
        touch = columns.centre - place.edge_radius + 4
        return ink.leader(start, place.slot, touch, place.middle, self.palette) + ink.balloon(
            place.ref, columns.balloon, place.slot, self.sheet, self.palette, selected=place.ref == self.options.selected
        )

    def _right_side(self, entry: _Entry) -> str:
        place, columns = entry.place, self.columns
        room = place.slot_height - 6
        strokes = []
        if abs(place.slot - place.middle) > place.height / 2 + 4:
            start = (columns.centre + place.edge_radius + 2, place.middle)
            end = (columns.centre + columns.half + WALL + 6, place.slot)
            strokes.append(line(start, end, "leader", stroke=self.palette.soft, pen=0.7))
        if entry.carries != "none":
            strokes.append(ink.direction_arrow(entry.carries, columns.arrow, place.slot, room, self.palette))
        elif isinstance(entry.source, Bearing) and entry.source.is_one_way:
            strokes.append(
                words(
                    columns.arrow, place.slot + 10, "?", "unknown", fill=self.palette.ink, size=28, weight=700,
                    anchor="middle",
                )
            )
        strokes.append(self._load(entry, room))
        strokes.append(ink.draw_rows(entry.rows, columns.words, place.slot, self.sheet, self.palette))
        return "".join(strokes)

    def _load(self, entry: _Entry, room: float) -> str:
        load, x = entry.load, self.columns.load
        if load is None or x is None:
            return ""
        middle = entry.place.slot
        if load.unloaded or load.axial_n <= 0:
            sign = ink.no_load(x, middle, self.palette)
        else:
            length = room * load.axial_n / self.most_load
            sign = ink.load_arrow(x, middle, length, self._load_direction(entry, load), self.palette)
        if self.sheet.words_width:
            return sign
        text = load_words(load, self.options) if load.unloaded else self.options.force_text(load.axial_n)
        after = self.columns.arrow + ink.ARROW_WIDTH / 2 + 5
        return sign + words(
            after, middle + 5, text, "words plain", fill=self.palette.ink, size=self.sheet.type_size - 3, weight=700
        )

    def _load_direction(self, entry: _Entry, load: LoadLabel) -> Direction:
        if load.direction is not None:
            return load.direction
        if entry.carries in ("down", "up"):
            return "up" if entry.carries == "up" else "down"
        return "up" if (self.net_axial_n or 0) < 0 else "down"

    def _control(self, entry: _Entry, strokes: str) -> str:
        ref = escape(entry.place.ref)
        chosen = " is-selected" if entry.place.ref == self.options.selected else ""
        differs = " is-marked" if entry.place.ref in self.options.marks else ""
        css = f"item{chosen}{differs}"
        if self.options.link is None:
            return f'<g class="{css}" data-ref="{ref}">{strokes}</g>'
        attributes = dict(self.options.link(entry.place.ref))
        tag = "a" if "href" in attributes else "g"
        if tag == "g":
            attributes = {"tabindex": "0", "role": "button", **attributes}
        attributes.setdefault("aria-label", item_sentence(entry.place.ref, entry.source, entry.load, self.options))
        if entry.place.ref == self.options.selected:
            attributes.setdefault("aria-current", "true")
        written = "".join(f' {name}="{escape(value)}"' for name, value in attributes.items())
        return f'<{tag} class="{css}" data-ref="{ref}"{written}>{strokes}</{tag}>'

    def outlines(self) -> str:
        """Frame the selected item and those that differ, over everything else."""
        frames = []
        for entry in self.entries:
            marked = entry.place.ref in self.options.marks
            if marked or entry.place.ref == self.options.selected:
                frames.append(
                    ink.heavy_outline(self.columns, entry.place.top, entry.place.height, self.palette, marked=marked)
                )
        return "".join(frames)

    def net_thrust(self) -> str:
        """Write the whole thrust above the words, with its arrow: what the arrows below add up to."""
        if self.net_axial_n is None or self.columns.load is None:
            return ""
        direction: Direction = "up" if self.net_axial_n < 0 else "down"
        x = self.columns.load
        arrow = ink.load_arrow(x, self.net_line, 26, direction, self.palette)
        if not self.sheet.words_width:
            text = self.options.force_text(abs(self.net_axial_n))
            at = x + 12
        else:
            rows = [Row(net_words(self.net_axial_n, self.options), "plain")]
            if self.options.load_case:
                rows.append(Row(self.options.load_case, "soft"))
            rows = ink.set_rows(rows, self.sheet)
            return arrow + ink.draw_rows(rows, self.columns.words, self.net_line, self.sheet, self.palette)
        return arrow + words(
            at, self.net_line + 5, text, "words plain", fill=self.palette.ink, size=self.sheet.type_size - 3, weight=700
        )

    def notes(self, bottom: float) -> str:
        """Say below what dashed outlines mean, when there are any."""
        if self.options.size == "compact" or not self.assumed:
            return ""
        return words(
            self.columns.balloon - self.sheet.balloon, bottom, _("Dashed: size or place not recorded, drawn as assumed."),
            "words note", fill=self.palette.soft, size=self.sheet.type_size - 2,
        )

    @property
    def assumed(self) -> bool:
        return any(
            not (place.shape.size_known if isinstance(place.shape, BearingShape) else place.shape.ring_known)
            for place in (entry.place for entry in self.entries)
        )

    # --- the sheet -----------------------------------------------------------------------------------

    def render(self) -> str:
        mount = self.mount()
        first_row = min(entry.place.slot - entry.place.slot_height / 2 for entry in self.entries)
        self.net_line = min(self.mount_top - 22, first_row - 26)
        top = self.mount_top - 40
        if self.net_axial_n is not None and self.columns.load is not None:
            top = min(top, self.net_line - 26)
        top = min(top, first_row - 2)
        last = self.entries[-1].place
        bottom = max(
            last.top + last.height + TAIL + 14, *(entry.place.slot + entry.place.slot_height / 2 for entry in self.entries)
        ) + 2
        note = self.notes(bottom + self.sheet.type_size)
        if note:
            bottom += self.sheet.type_size + 8
        body = "".join(
            [
                self.housing(), mount, self.centre_line(), self.top_words(), self.net_thrust(),
                *(self.entry(entry) for entry in self.entries), self.outlines(), note,
            ]
        )
        return self._sheet(body, top, bottom)

    def _sheet(self, body: str, top: float, bottom: float) -> str:
        """Wrap the strokes with size, title and description."""
        prefix, options = self.options.id_prefix, self.options
        title = options.summary or _("Thrust stack, section through the mount")
        numbered = [(entry.place.ref, entry.source) for entry in self.entries]
        story = whole_in_words(numbered, self.loads, self.net_axial_n, options)
        width, height = number(self.columns.width), number(bottom - top)
        role = "group" if options.link else "img"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="stack-drawing {options.size}" role="{role}" '
            f'aria-labelledby="{prefix}-title" aria-describedby="{prefix}-desc" '
            f'viewBox="0 {number(top)} {width} {height}" width="{width}" height="{height}" '
            f'font-family="{FACE}" color="{_ink_of(options)}">'
            f'<title id="{prefix}-title">{escape(title)}</title><desc id="{prefix}-desc">{escape(story)}</desc>'
            f"{body}</svg>"
        )


def _ink_of(options: DrawingOptions) -> str:
    return "inherit" if options.palette.ink == "currentColor" else options.palette.ink


def _break(radius: float, y: float) -> list[Point]:
    """Return a break line from right to left: straight, with one flash in the middle."""
    flash = min(8.0, radius * 0.3)
    return [(flash, y), (flash / 3, y - 7), (-flash / 3, y + 7), (-flash, y)]


def _reaches_housing(place: Placed) -> bool:
    shape = place.shape
    return isinstance(shape, BearingShape) or (shape.kind != "slinger" and shape.ring in ("outer", "both"))


def draw_stack(
    stack: Stack,
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
    return _Drawing(stack, loads or {}, net_axial_n, options or DrawingOptions()).render()
