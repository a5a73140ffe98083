"""Which item of one stack is which item of another."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from typing import NamedTuple

from bearings.engineering.quantities import Bearing, Item


class Entry(NamedTuple):
    """An item with its place from the top and its ref."""

    place: int
    ref: str
    item: Item


Pairs = list[tuple[Entry, Entry]]
Cost = Callable[[Entry, Entry], int | None]
Candidate = Callable[[list[Entry], list[Entry], Pairs, Cost], Pairs]


def _rest(found: list[Entry], built: list[Entry], pairs: Pairs) -> tuple[list[Entry], list[Entry]]:
    kept = {one.place for one, _ in pairs}
    used = {other.place for _, other in pairs}
    return (
        [one for one in found if one.place not in kept],
        [other for other in built if other.place not in used],
    )


def by_identity(found: list[Entry], built: list[Entry]) -> Pairs:
    """Pair bearings of one serial number, then of one mark; a serial number on both decides alone."""
    pairs: Pairs = []
    for name in ("serial", "mark"):
        upper, lower = _rest(found, built, pairs)
        for one in upper:
            value = _identity(one.item, name)
            if value is None:
                continue
            match = next((other for other in lower if _identity(other.item, name) == value), None)
            if match is not None:
                pairs.append((one, match))
                lower.remove(match)
    return pairs


def _identity(item: Item, name: str) -> str | None:
    """Return the serial number or mark of an item; a blank one is none."""
    return (getattr(item, name, None) or "").strip() or None


def align(found: list[Entry], built: list[Entry], cost: Cost) -> Pairs:
    """Pair two lists in order from the top with the fewest differences; an item left alone is one difference."""
    rows, columns = len(found), len(built)
    best: dict[tuple[int, int], int] = {}
    for i in range(rows, -1, -1):
        for j in range(columns, -1, -1):
            if i == rows or j == columns:
                best[i, j] = (rows - i) + (columns - j)
                continue
            choices = [1 + best[i + 1, j], 1 + best[i, j + 1]]
            pair = cost(found[i], built[j])
            if pair is not None:
                choices.append(pair + best[i + 1, j + 1])
            best[i, j] = min(choices)
    return _walk(found, built, cost, best)


def _walk(found: list[Entry], built: list[Entry], cost: Cost, best: dict[tuple[int, int], int]) -> Pairs:
    pairs: Pairs = []
    i = j = 0
    while i < len(found) and j < len(built):
        pair = cost(found[i], built[j])
        if pair is not None and pair + best[i + 1, j + 1] == best[i, j]:
            pairs.append((found[i], built[j]))
            i, j = i + 1, j + 1
        elif 1 + best[i + 1, j] == best[i, j]:
            i += 1
        else:
            j += 1
    return pairs


def by_order(found: list[Entry], built: list[Entry], fixed: Pairs, cost: Cost) -> Pairs:
    """Pair what identity left by order from the top."""
    upper, lower = _rest(found, built, fixed)
    return fixed + align(upper, lower, cost)


def by_order_between(found: list[Entry], built: list[Entry], fixed: Pairs, cost: Cost) -> Pairs:
    """Pair what identity left between the items that identity bound, so that an added one moves nothing."""
    moved = moved_pairs(fixed)
    anchors = sorted((pair for pair in fixed if pair not in moved), key=lambda pair: pair[0].place)
    upper, lower = _rest(found, built, fixed)
    pairs = list(fixed)
    above, above_built = -1, -1
    ends = [(one.place, other.place) for one, other in anchors] + [(len(found), len(built))]
    for below, below_built in ends:
        pairs += align(
            [one for one in upper if above < one.place < below],
            [other for other in lower if above_built < other.place < below_built],
            cost,
        )
        above, above_built = below, below_built
    return by_order(found, built, pairs, cost)


def by_set(found: list[Entry], built: list[Entry], fixed: Pairs, cost: Cost) -> Pairs:
    """Pair what identity left by set and designation, and the rest by order from the top."""
    pairs = list(fixed)
    upper, lower = _rest(found, built, fixed)
    keys = dict.fromkeys(key for one in upper if (key := _set_key(one)) is not None)
    for key in keys:
        pairs += align(
            [one for one in upper if _set_key(one) == key],
            [other for other in lower if _set_key(other) == key],
            cost,
        )
    return by_order(found, built, pairs, cost)


def _set_key(entry: Entry) -> tuple[str, str] | None:
    item = entry.item
    if not isinstance(item, Bearing) or not item.set_id or not item.designation:
        return None
    return item.set_id, item.designation


def by_sameness(found: list[Entry], built: list[Entry], fixed: Pairs, cost: Cost) -> Pairs:
    """Pair what is wholly the same in order, then the same out of order, then the rest by order."""

    def same(one: Entry, other: Entry) -> int | None:
        return 0 if cost(one, other) == 0 else None

    upper, lower = _rest(found, built, fixed)
    pairs = fixed + align(upper, lower, same)
    upper, lower = _rest(found, built, pairs)
    for one in upper:
        match = next((other for other in lower if cost(one, other) == 0), None)
        if match is not None:
            pairs = [*pairs, (one, match)]
            lower.remove(match)
    return by_order(found, built, pairs, cost)


def moved_pairs(pairs: Pairs) -> Pairs:
    """Return the fewest pairs that must have changed places for the rest to stand in order."""
    ordered = sorted(pairs, key=lambda pair: pair[0].place)
    ends: list[int] = []
    last: list[int] = []
    before: list[int | None] = []
    for number, (_, other) in enumerate(ordered):
        slot = bisect_left(ends, other.place)
        if slot == len(ends):
            ends.append(other.place)
            last.append(number)
        else:
            ends[slot] = other.place
            last[slot] = number
        before.append(last[slot - 1] if slot else None)
    kept: set[int] = set()
    number_or_none = last[-1] if last else None
    while number_or_none is not None:
        kept.add(number_or_none)
        number_or_none = before[number_or_none]
    return [pair for number, pair in enumerate(ordered) if number not in kept]
