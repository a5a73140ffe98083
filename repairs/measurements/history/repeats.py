"""What failed again: the same result or the same damage on two visits, the same bearing on several jobs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from repairs.measurements.engineering.tables.damage_modes import UNDETERMINED, is_damage
from repairs.measurements.history.reading import History
from repairs.measurements.models import Reading
from repairs.measurements.seat_words import seat_name
from repairs.measurements.words.damage import mode_words

# On so many visits, or jobs, it is a repeat.
REPEATED: Final = 2


def repeats_of(history: History) -> list[str]:
    """Return a sentence for each result that failed, and each mode of damage that was found, on two visits or more."""
    found: dict[tuple[str, str], tuple[str, set[int]]] = {}

    def count(kind: str, key: str, words: str, job: int) -> None:
        _words, jobs = found.get((kind, key), ("", set()))
        found[kind, key] = (words, {*jobs, job})

    for row in history.readings:
        if row.verdict == Reading.Verdict.FAIL:
            count("reading", row.asked or row.quantity.casefold(), row.quantity, row.job_id)
    for seat in history.seats:
        if seat.is_signed and seat.verdict == Reading.Verdict.FAIL:
            count("seat", f"{seat.place} {seat.name}", seat_name(seat), seat.job_id)
    for seen in history.observations:
        # Two visits whose damage nobody could tell need not be the same damage.
        if is_damage(seen.mode) and seen.mode != UNDETERMINED:
            count("damage", seen.mode, mode_words(seen.mode), seen.job_id)
    return [
        _sentence(kind, words, _numbers(history, jobs))
        for (kind, _key), (words, jobs) in found.items()
        if len(jobs) >= REPEATED
    ]


def _numbers(history: History, jobs: Iterable[int]) -> list[str]:
    return [visit.number for visit in history.visits if visit.pk in set(jobs)]


def _sentence(kind: str, words: str, numbers: list[str]) -> str:
    text = (
        _("{what}: found on {count} visits (jobs {jobs}).")
        if kind == "damage"
        else _("{what}: out of limits on {count} visits (jobs {jobs}).")
    )
    return text.format(what=words, count=len(numbers), jobs=", ".join(numbers))


def bearing_rows(history: History) -> list[dict[str, object]]:
    """Return on how many jobs and motors of the shop each bearing of this motor was found damaged, by edition."""
    return [
        {
            "designation": row["designation"],
            "edition": row["edition"] or _("edition not recorded"),
            "jobs": ngettext("{count} job", "{count} jobs", row["jobs"]).format(count=row["jobs"]),
            "motors": ngettext("{count} motor", "{count} motors", row["motors"]).format(count=row["motors"]),
            "repeated": row["jobs"] >= REPEATED,
        }
        for row in history.bearings
    ]
