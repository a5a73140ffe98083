"""Two sources side by side: which ratings changed and by how much, which are gone, which are new."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from operator import itemgetter
from typing import Any, Final, Literal, NamedTuple

from bearings.book import ENVELOPE, FIGURES, rating_figures
from bearings.models import Rating, Source
from bearings.stack_file import field_spec

LineKind = Literal["fell", "unprinted", "changed", "gone", "new", "same"]
# Also the order of the lines: what lowers a permissible speed comes first.
KINDS: Final[tuple[LineKind, ...]] = ("fell", "unprinted", "changed", "gone", "new", "same")
# Speeds that bound what is permissible; the reference speed only where neither edition prints one of them.
BOUNDING_SPEEDS: Final = ("limiting_speed_rpm", "oil_speed_rpm", "grease_speed_rpm")
_COMPARED_TEXTS: Final = ("type", "speed_meaning")
_COLUMNS: Final = (
    "pk", "source_id", "designation_key", "variant", "cage", *_COMPARED_TEXTS, *ENVELOPE, "figures", "not_printed",
)  # fmt: skip


class EditionLine(NamedTuple):
    """A rating of the older source, of the newer one, or of both, and how its permissible speed changed."""

    kind: LineKind
    speed_change: float | None
    key: str
    older: int | None
    newer: int | None


@dataclass(slots=True)
class EditionPair:
    """All lines of a comparison in order, and how many there are of each kind."""

    lines: list[EditionLine] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def of_kinds(self, kinds: Iterable[str]) -> list[EditionLine]:
        """Return the lines of some kinds."""
        wanted = set(kinds)
        return [line for line in self.lines if line.kind in wanted]


class Difference(NamedTuple):
    """One figure or text that differs; None is "not entered", "-" "not printed". ``share``: new over old, less one."""

    field: str
    old: Any
    new: Any
    share: float | None


def compare_sources(older: Source, newer: Source, designation: str = "") -> EditionPair:
    """Compare what two sources hold of the designations that begin so, in one query whatever their number."""
    ratings = Rating.objects.found_by(designation) if designation.strip() else Rating.objects.all()
    ratings = ratings.filter(source_id__in=(older.pk, newer.pk))
    rows = ratings.order_by("designation_key", "variant", "cage").values(*_COLUMNS)
    pair = EditionPair()
    for key, group in groupby(rows.iterator(chunk_size=2000), key=itemgetter("designation_key")):
        sides: dict[int, list[dict[str, Any]]] = {older.pk: [], newer.pk: []}
        for row in group:
            sides[row["source_id"]].append(row)
        pair.lines += [_line(key, one, other) for one, other in paired(sides[older.pk], sides[newer.pk])]
    pair.lines.sort(key=_order)
    pair.counts.update(line.kind for line in pair.lines)
    return pair


def paired(
    older: list[dict[str, Any]], newer: list[dict[str, Any]]
) -> list[tuple[dict[str, Any] | None, dict[str, Any] | None]]:
    """Pair the ratings of one designation: by variant and cage, then by variant, then the last one on each side.

    Editions and makers word variants differently; a single one left on each side is held to be the same bearing.
    """
    pairs: list[tuple[dict[str, Any] | None, dict[str, Any] | None]] = []
    for names in (("variant", "cage"), ("variant",)):
        for one in list(older):
            same = [other for other in newer if all(one[name] == other[name] for name in names)]
            if len(same) == 1:
                pairs.append((one, same[0]))
                older = [row for row in older if row is not one]
                newer = [row for row in newer if row is not same[0]]
    if len(older) == len(newer) == 1:
        return [*pairs, (older[0], newer[0])]
    return [*pairs, *((one, None) for one in older), *((None, other) for other in newer)]


def _line(key: str, older: dict[str, Any] | None, newer: dict[str, Any] | None) -> EditionLine:
    if older is None or newer is None:
        kind: LineKind = "new" if older is None else "gone"
        return EditionLine(kind, None, key, older["pk"] if older else None, newer["pk"] if newer else None)
    change, unprinted = speed_change(older["figures"], newer["figures"])
    same = all(older[name] == newer[name] for name in (*_COMPARED_TEXTS, *ENVELOPE, "figures")) and set(
        older["not_printed"]
    ) == set(newer["not_printed"])
    if change is not None and change < 0:
        kind = "fell"
    elif unprinted:
        kind = "unprinted"
    else:
        kind = "same" if same else "changed"
    return EditionLine(kind, change, key, older["pk"], newer["pk"])


def speed_change(older: Mapping[str, Any], newer: Mapping[str, Any]) -> tuple[float | None, bool]:
    """Return the greatest fall (or least rise) of a speed that both print, and whether one is printed no more."""
    names = [name for name in BOUNDING_SPEEDS if name in older]
    if not names and not any(name in newer for name in BOUNDING_SPEEDS):
        names = ["reference_speed_rpm"] if "reference_speed_rpm" in older else []
    changes = [newer[name] / older[name] - 1 for name in names if name in newer]
    return (min(changes) if changes else None), len(changes) < len(names)


def _order(line: EditionLine) -> tuple[int, float, str]:
    return KINDS.index(line.kind), line.speed_change or 0.0, line.key


def rating_differences(older: Rating, newer: Rating) -> list[Difference]:
    """Return what differs between two ratings, in the order of the book; notes are not compared."""
    found = []
    for name in ("variant", "cage", *_COMPARED_TEXTS):
        old, new = getattr(older, name), getattr(newer, name)
        if old != new:
            found.append(Difference(name, old or None, new or None, None))
    before, after = _figures(older), _figures(newer)
    for name in FIGURES:
        old, new = before.get(name), after.get(name)
        if old != new:
            found.append(Difference(name, old, new, _share(name, old, new)))
    return found


def _share(name: str, old: Any, new: Any) -> float | None:
    if field_spec("bearing", name).unit == "degC":
        return None  # its zero is arbitrary
    if isinstance(old, int | float) and isinstance(new, int | float) and old > 0:
        return float(new / old - 1)
    return None


def _figures(rating: Rating) -> dict[str, Any]:
    return {**rating_figures(rating), **dict.fromkeys(rating.not_printed, "-")}


def edition_before(source: Source) -> Source | None:
    """Return the edition of the same book that came before one, by its date."""
    others = Source.objects.filter(maker=source.maker, title=source.title).exclude(pk=source.pk)
    if source.published_on is not None:
        others = others.filter(published_on__lt=source.published_on)
    return others.order_by("-published_on", "-pk").first()
