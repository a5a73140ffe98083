"""Differences of two stacks by trying every pairing of their items."""

from __future__ import annotations

from tests.bearings.oracle.parts import Row, Stack

NAMES = (
    "designation", "maker", "variant", "cage", "cage_material", "serial", "mark", "set_id", "pairing", "stand_out_um",
    "type", "contact_angle_deg",
)  # fmt: skip
SIZES = ("bore_mm", "outside_diameter_mm", "height_mm", "ball_count", "ball_diameter_mm", "pitch_diameter_mm")
RATINGS = (
    "dynamic_rating_n", "static_rating_n", "fatigue_load_limit_n", "limiting_speed_rpm", "reference_speed_rpm",
    "oil_speed_rpm", "grease_speed_rpm", "minimum_load_factor_n", "pair_preload_n", "spring_force_n",
    "spring_rate_n_per_mm", "spring_travel_mm",
)  # fmt: skip
# What no specification can state of a piece that it does not know yet.
OF_THE_PIECE = ("serial", "mark", "set_id", "stand_out_um", "height_mm", "inner_height_mm", "outer_height_mm")
PART_SIZES = ("ring", "height_mm", "inner_height_mm", "outer_height_mm")
Difference = tuple[str | None, str | None, str]
Pairs = dict[int, int]


def unlike(found: Row, built: Row, names: tuple[str, ...]) -> bool:
    """Say whether two items contradict each other, or the second shows what the first could have asked for."""
    for name in names:
        asked, shown = found.get(name), built.get(name)
        if shown is not None and asked != shown and not (asked is None and name in OF_THE_PIECE):
            return True
    return False


def not_shown(found: Row, built: Row) -> bool:
    """Say whether the first states something that the second leaves open."""
    bearing = found.get("kind", "bearing") == "bearing"
    names = ("wide_face", *NAMES, *SIZES, *RATINGS) if bearing else PART_SIZES
    return any(found.get(name) is not None and built.get(name) is None for name in names)


def pair_codes(found: Row, built: Row) -> list[str]:
    """Name what differs between two paired items, their places aside."""
    if found.get("kind", "bearing") != "bearing":
        return ["replaced"] if unlike(found, built, PART_SIZES) else []
    codes = []
    if unlike(found, built, NAMES + SIZES):
        codes.append("replaced")
    if found["sign"] * built["sign"] < 0:
        codes.append("turned-over")
    if unlike(found, built, RATINGS):
        codes.append("rating-changed")
    return codes


def bound_together(found: Row, built: Row) -> bool:
    """Say whether serial or mark make two bearings one."""
    return any(found.get(k) is not None and found.get(k) == built.get(k) for k in ("serial", "mark"))


def longest_in_order(pairs: Pairs) -> list[set[int]]:
    """Give every largest group of pairs that stands in the same order in both stacks."""
    best: list[set[int]] = [set()]
    for f, b in sorted(pairs.items()):
        best += [kept | {f} for kept in best if all(pairs[k] < b for k in kept)]
    size = max(len(kept) for kept in best)
    return [kept for kept in best if len(kept) == size]


class Pairing:
    """All pairings of two lists of items that leave the fewest differences."""

    def __init__(self, found: list[Row], built: list[Row]) -> None:
        self.found, self.built = found, built
        self.fewest = len(found) + len(built)
        self.pairings: list[tuple[Pairs, frozenset[Difference]]] = []
        self._try(0, {}, 0)
        self.listings = {listing for _, listing in self.pairings}

    def _try(self, i: int, pairs: Pairs, cost: int) -> None:
        if cost > self.fewest:
            return
        if i == len(self.found):
            self._close(pairs, cost)
            return
        item = self.found[i]
        free = [j for j in range(len(self.built)) if j not in pairs.values()]
        bound = [j for j in free if bound_together(item, self.built[j])]
        for j in bound or free:
            if item.get("kind") == self.built[j].get("kind"):
                self._try(i + 1, pairs | {i: j}, cost + len(pair_codes(item, self.built[j])))
        if not bound:
            self._try(i + 1, pairs, cost + 1)

    def _close(self, pairs: Pairs, cost: int) -> None:
        cost += len(self.built) - len(pairs)
        in_order = longest_in_order(pairs)
        cost += len(pairs) - len(in_order[0])
        if cost > self.fewest:
            return
        if cost < self.fewest:
            self.fewest, self.pairings = cost, []
        for kept in in_order:
            self.pairings.append((pairs, frozenset(self._listing(pairs, kept))))

    def _listing(self, pairs: Pairs, kept: set[int]) -> list[Difference]:
        listed: list[Difference] = []
        for i, j in pairs.items():
            codes = pair_codes(self.found[i], self.built[j]) + ([] if i in kept else ["moved"])
            listed += [(self.found[i]["ref"], self.built[j]["ref"], code) for code in codes]
        listed += [(f["ref"], None, "missing") for i, f in enumerate(self.found) if i not in pairs]
        return listed + [
            (None, b["ref"], "added") for j, b in enumerate(self.built) if j not in pairs.values()
        ]


class WholeTurned:
    """The same search with the stack built put right again: what is left besides the turning over of the whole."""

    def __init__(self, found: list[Row], built: list[Row]) -> None:
        put_right = [item | {"sign": -item["sign"]} for item in reversed(built)]
        search = Pairing(found, put_right)
        by_ref = {item["ref"]: item for item in found if item["sign"]}
        self.listings: set[frozenset[Difference]] = set()
        for pairs, listing in search.pairings:
            if any(code == "turned-over" for *_, code in listing):
                continue  # turned with the whole and turned again is no turning of the whole
            turned = {
                (item["ref"], put_right[pairs[i]]["ref"], "turned-over")
                for i, item in enumerate(found)
                if i in pairs and item["ref"] in by_ref
            }
            self.listings.add(listing | turned)
        self.fewest = min((len(listing) for listing in self.listings), default=len(found) * 9)


def compare(found: Row, built: Row) -> Row:
    """Compare two stack files: every shortest listing, as found and with the whole stack turned over."""
    one, other = Stack(found), Stack(built)
    items, guides = Pairing(one.items, other.items), Pairing(one.guides, other.guides)
    whole = WholeTurned(one.items, other.items) if one.one_way else items
    return {
        "same": items.fewest + guides.fewest == 0,
        "fewest": items.fewest + guides.fewest,
        "listings": {a | b for a in items.listings for b in guides.listings},
        "whole_fewest": whole.fewest + guides.fewest,
        "whole_listings": {a | b for a in whole.listings for b in guides.listings},
    }
