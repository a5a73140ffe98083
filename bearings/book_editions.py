"""What the newest edition of a book says of bearings that were copied from an earlier one.

A record keeps the figures that it was signed with. Here they are compared with what stands in the book today: in the
newest edition of the same maker's same title, for the same designation, variant and cage. Where a newer edition is more
generous the record's own figure counts: the bearing that is built in did not become a better one.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from bearings.book import FIGURES, rating_figures
from bearings.models import Rating, designation_key

_YEAR: Final = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")
# Of these more is better, of the others below less is; what is in neither says how a bearing is made.
RATED_HIGHER: Final = frozenset(
    {
        "dynamic_rating_n", "static_rating_n", "fatigue_load_limit_n", "limiting_speed_rpm", "oil_speed_rpm",
        "grease_speed_rpm", "reference_speed_rpm", "temperature_limit_c", "stabilised_to_c",
    }
)  # fmt: skip
RATED_LOWER: Final = frozenset({"minimum_load_factor_n"})
Identity = tuple[str, str, str, str]


@dataclass(frozen=True, slots=True)
class Renewal:
    """A bearing with today's figures: the fields as they become, the rating they come from, and what changed."""

    data: dict[str, Any]
    rating: Rating
    changes: dict[str, tuple[Any, Any]]


def edition_age(rating: Rating) -> tuple[date, int]:
    """Return what tells a newer edition from an older one.

    Its date; without one, the year in its name; without that, the order in which the sources were entered.
    """
    source = rating.source
    if source.published_on is not None:
        return source.published_on, source.pk
    year = _YEAR.search(source.edition)
    return (date(int(year[0]), 1, 1) if year else date.min), source.pk


def _words(text: object) -> str:
    return " ".join(str(text or "").casefold().split())


def _identity_of(data: Mapping[str, Any]) -> Identity:
    """Return what makes a recorded bearing the same as a rating, however it was typed."""
    names = ("maker", "variant", "cage")
    maker, variant, cage = (_words(data.get(name)) for name in names)
    return maker, designation_key(str(data.get("designation", ""))), variant, cage


def _identity(rating: Rating) -> Identity:
    return _words(rating.source.maker), rating.designation_key, _words(rating.variant), _words(rating.cage)


def _is_of_the_book(entry: Mapping[str, Any]) -> bool:
    data = entry["data"]
    named = data.get("designation") and data.get("maker")
    return bool(named and (entry.get("rating_id") or data.get("source")))


class Editions:
    """The ratings that some recorded bearings may come from, fetched in one query."""

    def __init__(self, entries: Iterable[Mapping[str, Any]]) -> None:
        keys = {
            designation_key(str(entry["data"]["designation"])) for entry in entries if _is_of_the_book(entry)
        }
        self._ratings: dict[Identity, list[Rating]] = defaultdict(list)
        for rating in Rating.objects.of_designations(keys) if keys else ():
            self._ratings[_identity(rating)].append(rating)

    def renewal(self, entry: Mapping[str, Any]) -> Renewal | None:
        """Return a recorded bearing with today's figures, or None when the book says the same, or nothing."""
        if not _is_of_the_book(entry):
            return None
        data = entry["data"]
        same = [one for one in self._ratings.get(_identity_of(data), ()) if one.type == data.get("type")]
        own = _own(entry, same)
        newest = _newest(own, same)
        if newest is None or (newest is own and own.version == 1):
            return None
        changes = _changes(data, own, newest)
        return _renewed(data, newest, changes) if changes else None


def _own(entry: Mapping[str, Any], same: list[Rating]) -> Rating | None:
    """Return the rating that was copied: by its key, or for an older entry by the source that it names."""
    by_key = next((one for one in same if one.pk == entry.get("rating_id")), None)
    named = _words(entry["data"].get("source"))
    return by_key or next((one for one in same if _words(str(one.source)[:200]) == named), None)


def _newest(own: Rating | None, same: list[Rating]) -> Rating | None:
    """Return the newest edition of the title; where the title is not known, there must be one only."""
    titles = {_words(own.source.title)} if own else {_words(one.source.title) for one in same}
    if len(titles) != 1:
        return None
    return max((one for one in same if _words(one.source.title) in titles), key=edition_age)


def _changes(data: Mapping[str, Any], own: Rating | None, newest: Rating) -> dict[str, tuple[Any, Any]]:
    """Return the figures that the newest edition changes, as they are recorded and as they become.

    What differs from a rating that nobody ever corrected was changed by hand after it was copied, and stays. What
    neither edition prints was measured or typed in, and stays too.
    """
    today, copied = rating_figures(newest), rating_figures(own) if own else {}
    changes: dict[str, tuple[Any, Any]] = {}
    for name in FIGURES:
        recorded, new = data.get(name), today.get(name)
        if own and own.version == 1 and recorded != copied.get(name):
            continue
        if new is None and name not in copied and name not in newest.not_printed:
            continue
        # A newer edition may lower what a bearing that is built in was rated for, never raise it.
        if newest is not own and _is_more_generous(name, recorded, new):
            continue
        if recorded != new:
            changes[name] = (recorded, new)
    return changes


def _is_more_generous(name: str, recorded: Any, new: Any) -> bool:
    if recorded is None or new is None:
        return False
    if name in RATED_HIGHER:
        return bool(new > recorded)
    return name in RATED_LOWER and bool(new < recorded)


def _renewed(data: Mapping[str, Any], newest: Rating, changes: Mapping[str, tuple[Any, Any]]) -> Renewal:
    renewed = {**data, "source": str(newest.source)[:200]}
    for name, (_recorded, new) in changes.items():
        if new is None:
            renewed.pop(name, None)
        else:
            renewed[name] = new
    return Renewal(data=renewed, rating=newest, changes=dict(changes))
