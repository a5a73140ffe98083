"""Candidates out of the bearing book: ratings of one envelope as bearings of the engineering."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bearings.book import FIGURES
from bearings.engineering.candidates import Candidate
from bearings.engineering.quantities import Bearing
from bearings.models import Rating


@dataclass(frozen=True, slots=True, kw_only=True)
class BookCandidate:
    """A rating of the book that stands for a place, with what people know it by."""

    pk: int
    designation: str
    maker: str
    variant: str
    cage: str
    title: str
    edition: str
    older_edition: bool
    candidate: Candidate

    @property
    def source(self) -> str:
        """Return the source as the book names it."""
        return f"{self.maker}, {self.title}, {self.edition}"


class TooManyCandidatesError(Exception):
    """More ratings have this envelope than are tried in one go."""


def book_candidates(
    *, bore_mm: float, outside_diameter_mm: float | None = None, most: int
) -> list[BookCandidate]:
    """Return the ratings of an envelope in one query: by maker, the newest edition first.

    Raises TooManyCandidatesError when there are more than ``most``: then the envelope has to say more.
    """
    rows = list(Rating.objects.of_envelope(bore_mm, outside_diameter_mm).for_matching()[: most + 1])
    if len(rows) > most:
        raise TooManyCandidatesError
    return [_candidate(row) for row in rows]


def chosen_candidates(keys: list[int]) -> list[BookCandidate]:
    """Return some ratings in the order they were chosen, in one query; what is not in the book is left out."""
    rows = {row["pk"]: row for row in Rating.objects.filter(pk__in=keys).for_matching()}
    return [_candidate(rows[key]) for key in keys if key in rows]


def _candidate(row: dict[str, Any]) -> BookCandidate:
    maker, title, edition = row["source__maker"], row["source__title"], row["source__edition"]
    # The figures passed their checks when they were entered; a name that the engineering has not is left out.
    figures = {name: value for name, value in row["figures"].items() if name in _FIGURES}
    bearing = Bearing(
        type=row["type"],
        designation=row["designation"],
        maker=maker,
        variant=row["variant"] or None,
        cage=row["cage"] or None,
        source=f"{maker}, {title}, {edition}"[:200],
        bore_mm=row["bore_mm"],
        outside_diameter_mm=row["outside_diameter_mm"],
        height_mm=row["height_mm"],
        **figures,
    )
    return BookCandidate(
        pk=row["pk"],
        designation=row["designation"],
        maker=maker,
        variant=row["variant"],
        cage=row["cage"],
        title=title,
        edition=edition,
        older_edition=row["older_edition"],
        candidate=Candidate(key=row["pk"], bearing=bearing, older=row["older_edition"]),
    )


_FIGURES = frozenset(FIGURES) - {"bore_mm", "outside_diameter_mm", "height_mm"}
