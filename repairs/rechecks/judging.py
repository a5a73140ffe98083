"""Judge a chunk of signed records again: today's policy, today's plate, today's book. Nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

from bearings.public import Editions, Renewal
from repairs.rechecks.outcome import Outcome, Verdict, follow, outcome_of_answer, outcome_of_assessment
from repairs.rechecks.standing import stored_parts
from repairs.work_orders.judging import Judgement, judge, refs_of
from repairs.work_orders.models import Job, StackRecord

Renewals = list[tuple[str, Renewal]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejudged:
    """One record with its outcome as it was stored and as it is today."""

    record: StackRecord
    before: Outcome
    after: Outcome
    verdict: Verdict
    judgement: Judgement
    renewals: Renewals

    @property
    def in_service(self) -> bool:
        return self.record.job.state != Job.State.OPEN


def rejudge(records: Sequence[StackRecord], limits: dict[str, object]) -> Iterator[Rejudged]:
    """Judge records again, one by one; the book is asked once for all of them.

    Every run takes all of today's inputs, whatever it was asked for: if one looked at the policy alone, it would
    take a bearing for fit that the newest edition of its book has slowed down.
    """
    editions = Editions(entry for record in records for entry in (*record.items, *record.guides))
    for record in records:
        today, renewals = _with_todays_figures(record, editions)
        judgement = judge(today, record.job.motor, limits)
        before = outcome_of_answer(stored_parts(record))
        after = outcome_of_assessment(judgement.assessment)
        yield Rejudged(
            record=record,
            before=before,
            after=after,
            verdict=follow(before, after),
            judgement=judgement,
            renewals=renewals,
        )


def _with_todays_figures(record: StackRecord, editions: Editions) -> tuple[StackRecord, Renewals]:
    """Return a copy of a record, never to be saved, with the newest figures of its bearings; and which changed."""
    guides = [(f"g{number}", entry) for number, entry in enumerate(record.guides, 1)]
    found = [
        (ref, entry["uid"], renewal)
        for ref, entry in (*refs_of(record.items), *guides)
        if (renewal := editions.renewal(entry))
    ]
    if not found:
        return record, []
    data = {uid: renewal.data for _ref, uid, renewal in found}
    today = copy(record)
    today.items, today.guides = _renewed(record.items, data), _renewed(record.guides, data)
    return today, [(ref, renewal) for ref, _uid, renewal in found]


def _renewed(
    entries: Iterable[Mapping[str, Any]], data: Mapping[str, dict[str, object]]
) -> list[dict[str, object]]:
    return [{**entry, "data": data.get(entry["uid"], entry["data"])} for entry in entries]
