"""What a caller may choose about a drawing: size, colours, links, marks, units."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from bearings.engineering.quantities import Direction
from bearings.wording.figures import grouped, plain

SizeClass = Literal["full", "compact", "card"]

NEWTONS_PER_POUND_FORCE: Final = 4.4482216152605  # exact by definition of pound and standard gravity
_ID_PREFIX: Final = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours written as presentation attributes; a style sheet overrides them by class."""

    ink: str
    soft: str
    hairline: str
    sheet: str
    steel: str
    steel_light: str
    hatch: str
    down: str
    up: str
    stop: str


# currentColor makes the ink follow the page even where the drawing's style sheet is missing.
SCREEN: Final = Palette(
    ink="currentColor",
    soft="#5c574d",
    hairline="#c9c2b2",
    sheet="#fffdf8",
    steel="#d3d8dc",
    steel_light="#eceeef",
    hatch="#8a9096",
    down="#0b5c6b",
    up="#8a4b08",
    stop="#a3190f",
)
# Darker hatching and hairlines, white ground: a laser printer loses pale greys.
PAPER: Final = Palette(
    ink="#1d1b18",
    soft="#46423a",
    hairline="#8d8778",
    sheet="#ffffff",
    steel="#d9dde0",
    steel_light="#f1f3f4",
    hatch="#6f757b",
    down="#0b5c6b",
    up="#8a4b08",
    stop="#a3190f",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLabel:
    """What one bearing or guide carries in the case that is drawn.

    ``axial_n`` is a magnitude. ``direction`` is only needed where the bearing itself has none
    (deep groove, guide); ``None`` there means the direction of the net thrust. ``warm_n`` is what it carries as mounted
    and warm, where that is known.
    """

    axial_n: float
    direction: Direction | None = None
    unloaded: bool = False
    warm_n: float | None = None


def si_force_text(force_n: float) -> str:
    """Return a force in newtons or kilonewtons, three figures or so."""
    size = abs(force_n)
    if size >= 99_950:
        return f"{grouped(force_n / 1000)} kN"
    if size >= 999.5:
        return f"{grouped(force_n / 1000, 1)} kN"
    return f"{grouped(force_n)} N"


def pounds_force_text(force_n: float) -> str:
    """Return a force in pounds-force, rounded as a shop reads it."""
    pounds = force_n / NEWTONS_PER_POUND_FORCE
    if abs(pounds) >= 1000:
        pounds = round(pounds / 10) * 10
    return f"{grouped(pounds)} lbf"


def millimetres_text(length_mm: float) -> str:
    """Return a length in millimetres without needless zeros."""
    return f"{plain(round(length_mm, 3))} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingOptions:
    """How one drawing is made.

    ``link`` makes the items controls: it returns the attributes of an item by its ref. With an
    ``href`` the item is a link (works without JavaScript), otherwise a focusable group.
    ``marks`` maps a ref to the words of its difference ("turned over"): heavy outline and the words.
    ``summary`` is the arrangement in one sentence, put into the title.
    """

    size: SizeClass = "full"
    id_prefix: str = "stack"
    palette: Palette = SCREEN
    link: Callable[[str], Mapping[str, str]] | None = None
    selected: str | None = None
    marks: Mapping[str, str] = field(default_factory=dict)
    summary: str | None = None
    load_case: str | None = None
    force_text: Callable[[float], str] = si_force_text
    length_text: Callable[[float], str] = millimetres_text

    def __post_init__(self) -> None:
        if not _ID_PREFIX.fullmatch(self.id_prefix):
            message = f"id_prefix {self.id_prefix!r}: a letter, then letters, digits, - or _"
            raise ValueError(message)
