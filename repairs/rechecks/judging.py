"""Judge a chunk of signed records again: today's policy, today's plate, today's book. Nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

from bearings.public import (
    Assessment,
    Editions,
    Renewal,
    Stack,
    changed_limits,
    check_stack,
    checker_build,
    stack_values,
    under_other_limits,
)
from repairs.rechecks.outcome import (
    Outcome,
    Verdict,
    follow,
    outcome_of_answer,
    outcome_of_assessment,
    outcome_of_retold,
)
from repairs.rechecks.standing import StoredParts, stored_parts
from repairs.work_orders.judging import judge_read, read_record, refs_of
from repairs.work_orders.models import Job, StackRecord

Renewals = list[tuple[str, Renewal]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejudged:
    """One record with its outcome as it was stored and as it is today."""

    record: StackRecord
    before: Outcome
    after: Outcome
    verdict: Verdict
    renewals: Renewals
    assessment: Assessment | None = None
    hindrances: tuple[str, ...] = ()

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
        stored = stored_parts(record)
        today, renewals = _with_todays_figures(record, editions)
        before = outcome_of_answer(None if stored is None else stored.answer)
        read = read_record(today, today.job.motor, limits)
        begun, same = _told_again(read.stack, stored, before)
        if same is not None and not (verdict := follow(before, same)).changed:
            yield Rejudged(record=record, before=before, after=same, verdict=verdict, renewals=renewals)
            continue
        judgement = judge_read(today, read, begun)
        after = outcome_of_assessment(judgement.assessment)
        yield Rejudged(
            record=record,
            before=before,
            after=after,
            verdict=follow(before, after),
            renewals=renewals,
            assessment=judgement.assessment,
            hindrances=judgement.hindrances,
        )


def _told_again(
    stack: Stack | None, stored: StoredParts | None, before: Outcome
) -> tuple[Assessment | None, Outcome | None]:
    """Return a check that was begun, and the outcome where it need not be brought to its end.

    The same checker says the same again of the same inputs. Where only limits of the shop are others, only what
    reads them is judged: a change of the policy concerns every stack, and each of them in one or two subjects.
    """
    if stack is None or stored is None or stored.build != checker_build():
        return None, None
    changed = changed_limits(stored.stack, stack_values(stack))
    if changed is None:
        return None, None
    if not changed:
        return None, before
    begun = check_stack(stack)
    retold = under_other_limits(begun, stored.answer, changed)
    return begun, None if retold is None else outcome_of_retold(begun, retold)


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
