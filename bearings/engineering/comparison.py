"""Differences between the stack as it was found and as it was built."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from bearings.engineering.pairing import (
    Candidate,
    Entry,
    Pairs,
    by_identity,
    by_order,
    by_order_between,
    by_sameness,
    by_set,
    moved_pairs,
)
from bearings.engineering.quantities import Assembly, Bearing, Guide, Item, Part, guide_refs, item_refs
from bearings.engineering.results import Params, params

DifferenceCode = Literal[
    "turned-over", "moved", "replaced", "missing", "added", "rating-changed", "not-shown"
]

REPLACED_FIELDS: Final = (
    "type",
    "designation",
    "maker",
    "variant",
    "cage",
    "cage_material",
    "serial",
    "mark",
    "set_id",
    "pairing",
    "stand_out_um",
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
# What a specification cannot know: a stack that shows them where they were not asked for does not differ.
OF_THE_PIECE: Final = frozenset(
    {"serial", "mark", "set_id", "stand_out_um", "height_mm", "inner_height_mm", "outer_height_mm"}
)


class Difference(NamedTuple):
    """One difference; the refs are those of the stack found and the stack built."""

    code: DifferenceCode
    ref_found: str | None
    ref_built: str | None
    params: Params


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """All differences of two stacks; ``upside_down`` when the whole stack was turned over, or may have been.

    ``in_place``: each bearing of the set was turned over where it stands, or may have been.

    The first stack is what is asked for: what it states and the second does not show is a difference of its own
    (``not-shown``), never the same.
    """

    differences: tuple[Difference, ...]
    upside_down: Literal["no", "yes", "possible", "in_place", "possible_in_place"] = "no"

    @property
    def same(self) -> bool:
        """Whether there is no difference, and nothing that the second stack does not show."""
        return not self.differences

    @property
    def only_not_shown(self) -> bool:
        """Whether nothing differs but something that was asked for is not shown."""
        return bool(self.differences) and all(one.code == "not-shown" for one in self.differences)


def unlike_fields(found: Item, built: Item, names: Iterable[str]) -> tuple[str, ...]:
    """Return the fields in which two items differ: both show them, or only the second shows what could be asked for."""
    unlike = []
    for name in names:
        asked, shown = _shown(found, name), _shown(built, name)
        if shown is None or asked == shown or (asked is None and name in OF_THE_PIECE):
            continue
        unlike.append(name)
    return tuple(unlike)


def _shown(item: Item, name: str) -> object:
    """Return what an item shows in a field; a blank text shows nothing."""
    value = getattr(item, name)
    return None if isinstance(value, str) and not value.strip() else value


def not_shown_fields(found: Item, built: Item, names: Iterable[str]) -> tuple[str, ...]:
    """Return the fields that the first item states and the second does not show."""
    return tuple(name for name in names if _shown(found, name) is not None and _shown(built, name) is None)


def turned(found: Item, built: Item) -> bool:
    """Whether a one-way bearing faces the other way; a face that only the second shows was not specified."""
    face, other = getattr(found, "wide_face", None), getattr(built, "wide_face", None)
    return other is not None and face != other and getattr(found, "is_one_way", False)


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


def pair_not_shown(found: Entry, built: Entry) -> list[Difference]:
    """Return what one item states and the other, taken to be the same, does not show."""
    of_bearing = ("wide_face", *REPLACED_FIELDS, *RATING_FIELDS)
    fields = of_bearing if isinstance(found.item, Bearing) else PART_FIELDS
    names = not_shown_fields(found.item, built.item, fields)
    return [_difference("not-shown", found, built, names)] if names else []


def pair_cost(found: Entry, built: Entry) -> int | None:
    """Return how many differences a pair has; None for items that cannot be the same."""
    if isinstance(found.item, Bearing) and isinstance(built.item, Bearing):
        return len(pair_differences(found, built))
    if isinstance(found.item, Part) and isinstance(built.item, Part) and found.item.kind == built.item.kind:
        return len(pair_differences(found, built))
    return None


def pair_cost_shown(found: Entry, built: Entry) -> int | None:
    """Return the cost of a pair in which something that the second does not show counts as well."""
    cost = pair_cost(found, built)
    return None if cost is None else cost + len(pair_not_shown(found, built))


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
            differences.append(Difference("moved", one.ref, other.ref, _neighbours(built, other)))
    return differences + _loose(found, built, pairs)


def _neighbours(built: list[Entry], moved: Entry) -> Params:
    """Return between which items of the second stack a moved part now stands; an empty ref is an end of the stack."""
    above = built[moved.place - 1].ref if moved.place else ""
    below = built[moved.place + 1].ref if moved.place + 1 < len(built) else ""
    return params(above=above, below=below)


def _all_not_shown(pairs: Pairs) -> list[Difference]:
    ordered = sorted(pairs, key=lambda pair: pair[0].place)
    return [difference for one, other in ordered for difference in pair_not_shown(one, other)]


def _without_costly(found: list[Entry], built: list[Entry], fixed: Pairs, pairs: Pairs) -> Pairs:
    """Take apart each pair that makes more differences than one part missing and another added would."""
    for pair in [one for one in pairs if one not in fixed and pair_cost(*one)]:
        rest = [one for one in pairs if one != pair]
        if len(_all_differences(found, built, rest)) < len(_all_differences(found, built, pairs)):
            pairs = rest
    return pairs


def _fewest(found: list[Entry], built: list[Entry]) -> tuple[list[Difference], Pairs]:
    """Return the differences of the pairing that has fewest, then fewest things not shown; identity pairs first."""
    fixed = by_identity(found, built)
    ways: tuple[Candidate, ...] = (by_set, by_sameness, by_order_between, by_order)
    best: tuple[list[Difference], Pairs] = [], []
    fewest: tuple[int, int] | None = None
    for way in ways:
        # What shows everything pairs before what leaves something open: a part without figures fits any place.
        for cost in (pair_cost, pair_cost_shown):
            pairs = _without_costly(found, built, fixed, way(found, built, fixed, cost))
            differences = _all_differences(found, built, pairs)
            count = len(differences), len(_all_not_shown(pairs))
            if fewest is None or count < fewest:
                fewest, best = count, (differences, pairs)
    return best


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
    fixed = {(one.ref, other.ref) for one, other in by_identity(found, built)}
    return pairs if fixed <= {(one.ref, other.ref) for one, other in pairs} else None


def _upside_down(found: list[Entry], built: list[Entry], bearings: Pairs) -> Pairs | None:
    """Pair all items as a stack turned upside down would have them; None where a part does not stand so.

    Parts either turn with the bearings or stay with the mount, all of them one way; or those above and below the
    bearings (shoulder, nut) stay, and those between them (spacers) turn.
    """
    if len(found) != len(built):
        return None
    turned_with = list(zip(found, reversed(built), strict=True))
    bearing_of = {one.place: other for one, other in bearings}
    stayed = [(one, bearing_of.get(one.place, other)) for one, other in zip(found, built, strict=True)]
    wanted = {(one.place, other.place) for one, other in bearings}
    for pairs in (turned_with, stayed, _between_turned(found, built)):
        kept = {(one.place, other.place) for one, other in pairs if isinstance(one.item, Bearing)}
        parts = [(one, other) for one, other in pairs if isinstance(one.item, Part)]
        if kept == wanted and all(pair_cost(one, other) == 0 for one, other in parts):
            return pairs
    return None


def _between_turned(found: list[Entry], built: list[Entry]) -> Pairs:
    """Pair what stands from the first bearing to the last one upside down, and the rest as it stands."""
    places = [one.place for one in found if isinstance(one.item, Bearing)]
    first, last = min(places), max(places) + 1
    inner = list(reversed(built[first:last]))
    return list(zip(found, [*built[:first], *inner, *built[last:]], strict=True))


def _turned_in_place(found: list[Entry], built: list[Entry]) -> int | None:
    """Return of how many one-way bearings, two at least, each is turned over where it stands and nothing else differs.

    None where it is not so, or where serials and marks say that the bearings changed places.
    """
    pairs = list(zip(found, built, strict=False))
    fixed = by_identity(found, built)
    if len(found) != len(built) or any(one.place != other.place for one, other in fixed):
        return None
    if any(pair_cost(*pair) is None for pair in pairs):
        return None
    turns = [difference for pair in pairs for difference in pair_differences(*pair)]
    one_way = sum(isinstance(one.item, Bearing) and one.item.is_one_way for one in found)
    alone = all(one.code == "turned-over" for one in turns)
    return one_way if one_way > 1 and alone and len(turns) == one_way else None


def _compare_items(found: list[Entry], built: list[Entry]) -> Comparison:
    plain, pairs = _fewest(found, built)
    bearings = _reversed_bearings(found, built)
    whole_pairs = None if bearings is None else _upside_down(found, built, bearings)
    if not plain or whole_pairs is None:
        turned_over = _turned_in_place(found, built) if plain else None
        told = (*plain, *_all_not_shown(pairs))
        if turned_over is None:
            return Comparison(differences=told)
        # Like bearings that changed places read the same as each turned over: the fewer differences are told.
        surely = all(one.code == "turned-over" for one in plain) and len(plain) == turned_over
        return Comparison(differences=told, upside_down="in_place" if surely else "possible_in_place")
    whole = [one for pair in whole_pairs for one in pair_differences(*pair)]
    turns = [one for one in whole if one.code == "turned-over"]
    others = len(whole) - len(turns)
    if others == 0 and len(plain) > 1:
        return Comparison(differences=(*whole, *_all_not_shown(whole_pairs)), upside_down="yes")
    if others == 0:
        # One part that moved or one bearing turned over reads the same as the whole stack upside down.
        return Comparison(differences=(*plain, *_all_not_shown(pairs)), upside_down="possible")
    return Comparison(differences=(*plain, *_all_not_shown(pairs)))


def _compare_guides(found: tuple[Guide, ...], built: tuple[Guide, ...]) -> list[Difference]:
    upper = _entries([one.bearing for one in found], guide_refs(found))
    lower = _entries([one.bearing for one in built], guide_refs(built))
    differences, pairs = _fewest(upper, lower)
    differences += _all_not_shown(pairs)
    for one, other in pairs:
        if found[one.place].carries != built[other.place].carries:
            values = (found[one.place].carries, built[other.place].carries)
            changed = params(fields=("carries",), values=values)
            differences.append(Difference("replaced", one.ref, other.ref, changed))
    return differences


def compare(found: Assembly, built: Assembly) -> Comparison:
    """Return every difference between what was found and what was built; notes and sources do not count."""
    items = _compare_items(
        _entries(found.items, item_refs(found.items)), _entries(built.items, item_refs(built.items))
    )
    guides = _compare_guides(found.guides, built.guides)
    return Comparison(differences=(*items.differences, *guides), upside_down=items.upside_down)
