"""Differences between the stack as it was found and as it was built."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from bearings.engineering.pairing import (
    Candidate,
    Entry,
    Pairs,
    align,
    by_identity,
    by_order,
    by_order_between,
    by_sameness,
    by_set,
    moved_pairs,
)
from bearings.engineering.quantities import Bearing, Guide, Item, Part, Stack, guide_refs, item_refs
from bearings.engineering.results import Params, params

DifferenceCode = Literal["turned-over", "moved", "replaced", "missing", "added", "rating-changed"]

REPLACED_FIELDS: Final = (
    "type",
    "designation",
    "maker",
    "variant",
    "serial",
    "bore_mm",
    "outside_diameter_mm",
    "height_mm",
    "contact_angle_deg",
    "ball_count",
    "ball_diameter_mm",
    "pitch_diameter_mm",
)
RATING_FIELDS: Final = (
    "dynamic_rating_n",
    "static_rating_n",
    "fatigue_load_limit_n",
    "limiting_speed_rpm",
    "reference_speed_rpm",
    "oil_speed_rpm",
    "grease_speed_rpm",
    "minimum_load_factor_n",
    "pair_preload_n",
    "spring_force_n",
    "spring_rate_n_per_mm",
    "spring_travel_mm",
)
PART_FIELDS: Final = ("ring", "height_mm", "inner_height_mm", "outer_height_mm")


class Difference(NamedTuple):
    """One difference; the refs are those of the stack found and the stack built."""

    code: DifferenceCode
    ref_found: str | None
    ref_built: str | None
    params: Params


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """All differences of two stacks; ``upside_down`` when the whole stack was turned over, or may have been."""

    differences: tuple[Difference, ...]
    upside_down: Literal["no", "yes", "possible"] = "no"

    @property
    def same(self) -> bool:
        """Whether there is no difference."""
        return not self.differences


def unlike_fields(found: Item, built: Item, names: Iterable[str]) -> tuple[str, ...]:
    """Return the fields in which two items differ; one that is unknown on one side only differs too."""
    return tuple(name for name in names if getattr(found, name) != getattr(built, name))


def turned(found: Item, built: Item) -> bool:
    """Whether a one-way bearing looks the other way."""
    if not isinstance(found, Bearing) or not isinstance(built, Bearing):
        return False
    return None not in (found.wide_face, built.wide_face) and found.wide_face != built.wide_face


def _difference(code: DifferenceCode, found: Entry, built: Entry, fields: tuple[str, ...]) -> Difference:
    values: list[str] = []
    for name in fields:
        values += [str(getattr(found.item, name)), str(getattr(built.item, name))]
    return Difference(code, found.ref, built.ref, params(fields=fields, values=tuple(values)))


def pair_differences(found: Entry, built: Entry) -> list[Difference]:
    """Return the differences of two items that are taken to be one and the same place or part."""
    differences = []
    if turned(found.item, built.item):
        face = found.item.wide_face if isinstance(found.item, Bearing) else None
        differences.append(Difference("turned-over", found.ref, built.ref, params(found=face)))
    is_bearing = isinstance(found.item, Bearing)
    replaced = unlike_fields(found.item, built.item, REPLACED_FIELDS if is_bearing else PART_FIELDS)
    if replaced:
        differences.append(_difference("replaced", found, built, replaced))
    changed = unlike_fields(found.item, built.item, RATING_FIELDS) if is_bearing else ()
    if changed:
        differences.append(_difference("rating-changed", found, built, changed))
    return differences


def pair_cost(found: Entry, built: Entry) -> int | None:
    """Return how many differences a pair has; None for items that cannot be the same."""
    if isinstance(found.item, Bearing) and isinstance(built.item, Bearing):
        return len(pair_differences(found, built))
    if isinstance(found.item, Part) and isinstance(built.item, Part) and found.item.kind == built.item.kind:
        return len(pair_differences(found, built))
    return None


def _entries(items: Iterable[Item], refs: tuple[str, ...]) -> list[Entry]:
    return [Entry(place, ref, item) for place, (ref, item) in enumerate(zip(refs, items, strict=True))]


def _loose(found: list[Entry], built: list[Entry], pairs: Pairs) -> list[Difference]:
    """Items of one stack that no item of the other pairs with."""
    kept = {one.place for one, _ in pairs}
    used = {other.place for _, other in pairs}
    nothing = params()
    return [Difference("missing", one.ref, None, nothing) for one in found if one.place not in kept] + [
        Difference("added", None, other.ref, nothing) for other in built if other.place not in used
    ]


def _all_differences(found: list[Entry], built: list[Entry], pairs: Pairs) -> list[Difference]:
    moved = moved_pairs(pairs)
    differences = []
    for one, other in sorted(pairs, key=lambda pair: pair[0].place):
        differences += pair_differences(one, other)
        if (one, other) in moved:
            differences.append(Difference("moved", one.ref, other.ref, params()))
    return differences + _loose(found, built, pairs)


def _without_costly(found: list[Entry], built: list[Entry], fixed: Pairs, pairs: Pairs) -> Pairs:
    """Take apart each pair that makes more differences than one part missing and another added would."""
    for pair in [one for one in pairs if one not in fixed and pair_cost(*one)]:
        rest = [one for one in pairs if one != pair]
        if len(_all_differences(found, built, rest)) < len(_all_differences(found, built, pairs)):
            pairs = rest
    return pairs


def _fewest(found: list[Entry], built: list[Entry]) -> tuple[list[Difference], Pairs]:
    """Return the differences of the pairing that has fewest; identity always pairs first."""
    fixed = by_identity(found, built)
    ways: tuple[Candidate, ...] = (by_set, by_sameness, by_order_between, by_order)
    best: tuple[list[Difference], Pairs] | None = None
    for way in ways:
        pairs = _without_costly(found, built, fixed, way(found, built, fixed, pair_cost))
        differences = _all_differences(found, built, pairs)
        if best is None or len(differences) < len(best[0]):
            best = differences, pairs
    return best or ([], [])


def _reversed_bearings(found: list[Entry], built: list[Entry]) -> Pairs | None:
    """Pair the bearings as a stack turned upside down would have them; None where they do not stand so."""
    upper = [one for one in found if isinstance(one.item, Bearing)]
    lower = [one for one in built if isinstance(one.item, Bearing)]
    one_way = [one for one in upper if isinstance(one.item, Bearing) and one.item.is_one_way]
    if len(upper) != len(lower) or len(upper) < 2 or not one_way:
        return None
    pairs = list(zip(upper, reversed(lower), strict=True))
    for one, other in pairs:
        if one in one_way and not turned(one.item, other.item):
            return None
    bearings = {one.ref for one in upper}
    fixed = {(one.ref, other.ref) for one, other in by_identity(found, built) if one.ref in bearings}
    return pairs if fixed <= {(one.ref, other.ref) for one, other in pairs} else None


def _upside_down(found: list[Entry], built: list[Entry], bearings: Pairs) -> list[Difference]:
    """Differences of a stack that is upside down: its bearings so, its other parts in whichever order fits."""
    differences = [found_one for one, other in bearings for found_one in pair_differences(one, other)]
    upper = [one for one in found if isinstance(one.item, Part)]
    lower = [one for one in built if isinstance(one.item, Part)]
    ways = []
    for order in (lower, lower[::-1]):
        pairs = align(upper, order, pair_cost)
        ways.append(
            [entry for one, other in pairs for entry in pair_differences(one, other)]
            + _loose(upper, lower, pairs)
        )
    return differences + min(ways, key=len)


def _compare_items(found: list[Entry], built: list[Entry]) -> Comparison:
    plain, _pairs = _fewest(found, built)
    bearings = _reversed_bearings(found, built)
    if not plain or bearings is None:
        return Comparison(differences=tuple(plain))
    whole = _upside_down(found, built, bearings)
    others = sum(one.code != "turned-over" for one in whole)
    turns = [one for one in whole if one.code == "turned-over"]
    only_turned = all(one.code == "turned-over" for one in plain)
    if others == 0 and only_turned and len(plain) < len(turns):
        return Comparison(differences=tuple(plain), upside_down="possible")
    if 1 + others <= len(plain):
        return Comparison(differences=tuple(whole), upside_down="yes")
    return Comparison(differences=tuple(plain))


def _compare_guides(found: tuple[Guide, ...], built: tuple[Guide, ...]) -> list[Difference]:
    upper = _entries([one.bearing for one in found], guide_refs(found))
    lower = _entries([one.bearing for one in built], guide_refs(built))
    differences, pairs = _fewest(upper, lower)
    for one, other in pairs:
        if found[one.place].carries != built[other.place].carries:
            values = (found[one.place].carries, built[other.place].carries)
            changed = params(fields=("carries",), values=values)
            differences.append(Difference("replaced", one.ref, other.ref, changed))
    return differences


def compare(found: Stack, built: Stack) -> Comparison:
    """Return every difference between the stack found and the stack built; notes and sources do not count."""
    items = _compare_items(
        _entries(found.items, item_refs(found.items)), _entries(built.items, item_refs(built.items))
    )
    guides = _compare_guides(found.guides, built.guides)
    return Comparison(differences=(*items.differences, *guides), upside_down=items.upside_down)
