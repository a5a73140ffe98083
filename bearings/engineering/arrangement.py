"""Faces to directions: what carries which thrust, and how neighbours stand to each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bearings.engineering.quantities import Bearing, Direction, Item, Stack, item_refs

Relation = Literal["DB", "DF", "DT"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A bearing at its place: its ref and its index among the items."""

    ref: str
    index: int
    bearing: Bearing

    @property
    def sign(self) -> int:
        """+1 for a bearing that carries down thrust, -1 for up, 0 for neither or both."""
        if not self.bearing.is_one_way or self.bearing.wide_face is None:
            return 0
        return 1 if self.bearing.wide_face == "down" else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """How the one-way bearings stand, from the top of the mount."""

    relations: tuple[Relation, ...]
    carries_down: tuple[str, ...]
    carries_up: tuple[str, ...]
    one_way: tuple[str, ...]
    changes: int


def place_bearings(items: tuple[Item, ...]) -> tuple[Placed, ...]:
    """Return the bearings of a stack with their refs, from the top."""
    refs = item_refs(items)
    return tuple(
        Placed(ref=ref, index=index, bearing=item)
        for index, (ref, item) in enumerate(zip(refs, items, strict=True))
        if isinstance(item, Bearing)
    )


def relation(upper: int, lower: int) -> Relation:
    """Return how two neighbours stand, from their signs: down over up is back to back.

    Source: geometry of one-way bearings; the wide (back) face of the outer ring takes the thrust.
    """
    if upper == lower:
        return "DT"
    return "DB" if upper > 0 else "DF"


def arrange(placed: tuple[Placed, ...]) -> Arrangement:
    """Return relations and directions; parts between two bearings change nothing here."""
    one_way = [p for p in placed if p.sign]
    relations = tuple(relation(a.sign, b.sign) for a, b in zip(one_way, one_way[1:], strict=False))
    return Arrangement(
        relations=relations,
        carries_down=tuple(p.ref for p in one_way if p.sign > 0),
        carries_up=tuple(p.ref for p in one_way if p.sign < 0),
        one_way=tuple(p.ref for p in one_way),
        changes=sum(1 for r in relations if r != "DT"),
    )


def carries_at_all(stack: Stack, placed: tuple[Placed, ...], direction: Direction) -> bool:
    """Whether anything of the stack or a guide carries a direction, whatever the magnitudes."""
    accepted = {direction, "both"}
    return any(p.bearing.carries in accepted for p in placed) or any(
        guide.carries in accepted for guide in stack.guides
    )
