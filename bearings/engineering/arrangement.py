"""Which way the bearings of a stack look, and what follows from it before any magnitude is known."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from bearings.engineering.quantities import (
    Assembly,
    Bearing,
    Direction,
    Guide,
    guide_refs,
    item_refs,
)
from bearings.engineering.results import ArrangementResult, Relation

DIRECTIONS: tuple[Direction, Direction] = ("down", "up")
RefBearing = tuple[str, Bearing]


@dataclass(frozen=True, slots=True)
class Mount:
    """A stack seen as its bearings: refs in order, one-way bearings by direction, guides."""

    refs: tuple[str, ...]
    bearings: tuple[RefBearing, ...]
    one_way: tuple[RefBearing, ...]
    down: tuple[RefBearing, ...]
    up: tuple[RefBearing, ...]
    both_ways: tuple[RefBearing, ...]
    guides: tuple[tuple[str, Guide], ...]
    # One-way bearings whose face nobody entered: in none of the above but ``bearings``.
    unfaced: tuple[str, ...] = ()
    # Whether all one-way bearings are angular contact ball bearings, as in most stacks.
    balls_alone: bool = False

    def carriers(self, direction: Direction) -> tuple[RefBearing, ...]:
        """Return the one-way bearings of the stack that carry this direction."""
        return self.down if direction == "down" else self.up

    def guides_carrying(self, direction: Direction) -> tuple[tuple[str, Guide], ...]:
        """Return the guides that carry this direction."""
        return tuple(pair for pair in self.guides if pair[1].carries in (direction, "both"))

    def carried(self, direction: Direction) -> bool:
        """Whether anything on the shaft carries thrust in this direction."""
        return bool(self.carriers(direction) or self.both_ways or self.guides_carrying(direction))

    @property
    def opposed(self) -> bool:
        """Whether one-way bearings of the stack look both ways."""
        return bool(self.down and self.up)


def mount_of(stack: Assembly) -> Mount:
    """Sort the bearings of a stack by what they carry."""
    refs = item_refs(stack.items)
    bearings = tuple(
        (ref, item) for ref, item in zip(refs, stack.items, strict=True) if isinstance(item, Bearing)
    )
    one_way = tuple(pair for pair in bearings if pair[1].carries in DIRECTIONS)
    return Mount(
        refs=refs,
        bearings=bearings,
        one_way=one_way,
        down=tuple(pair for pair in one_way if pair[1].wide_face == "down"),
        up=tuple(pair for pair in one_way if pair[1].wide_face == "up"),
        both_ways=tuple(pair for pair in bearings if pair[1].type == "deep_groove_ball"),
        guides=tuple(zip(guide_refs(stack.guides), stack.guides, strict=True)),
        unfaced=tuple(ref for ref, one in bearings if one.is_one_way and one.wide_face is None),
        balls_alone=all(one.type == "angular_contact_ball" for _, one in one_way),
    )


def relation(upper: Bearing, lower: Bearing) -> Relation:
    """Return how two neighbouring one-way bearings stand: backs (DB), fronts (DF) or in tandem (DT)."""
    if upper.wide_face == lower.wide_face:
        return "DT"
    return "DB" if upper.wide_face == "down" else "DF"


def describe(mount: Mount) -> ArrangementResult:
    """Return the relations and directions of a stack; parts between bearings do not change them.

    While a face is not known nobody knows which bearings stand back to back: no relation is told.
    """
    pairs = () if mount.unfaced else tuple(pairwise(mount.one_way))
    return ArrangementResult(
        relations=tuple(relation(upper, lower) for (_, upper), (_, lower) in pairs),
        carries_down=tuple(ref for ref, _ in mount.down),
        carries_up=tuple(ref for ref, _ in mount.up),
        both_ways=tuple(ref for ref, _ in mount.both_ways),
        radial_only=tuple(ref for ref, one in mount.bearings if one.type == "cylindrical_roller"),
        unfaced=mount.unfaced,
    )


def direction_changes(mount: Mount) -> int:
    """Return how often the carried direction changes from the top of the stack to its foot."""
    faces = [one.wide_face for _, one in mount.one_way]
    return sum(upper != lower for upper, lower in pairwise(faces))
