"""Write what a chunk of re-judged records comes to: rows for those that changed, and the run's place and counts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.db import transaction
from django.db.models import F, Max

from bearings.public import StoredAssessment
from repairs.rechecks.judging import Rejudged
from repairs.rechecks.models import Change, Recheck
from repairs.work_orders.judging import unstored
from repairs.work_orders.services.policy import DEFAULTS

INPUT_ROOMS: Final = ("motor", "lubrication", "policy")
SAME_TO_DECIMALS: Final = 6
Answers = dict[int, StoredAssessment]


class SupersededError(Exception):
    """A newer run took this one's place; this one stops."""


def answers_to(found: Sequence[Rejudged]) -> Answers:
    """Return the whole answers to those that changed, by record: worked out before anything is written."""
    return {
        one.record.pk: unstored(one.assessment) for one in found if one.verdict.changed and one.assessment
    }


@transaction.atomic
def write_chunk(
    recheck: Recheck, found: Sequence[Rejudged], answers: Answers, *, reached: int, judged: int
) -> None:
    """Write one chunk: all of it or nothing, so that a run goes on exactly where it stopped."""
    now = Recheck.objects.select_for_update().get(pk=recheck.pk)
    if now.superseded_by_id is not None:
        raise SupersededError
    changed = [one for one in found if one.verdict.changed]
    _replace_older(recheck, [one.record.pk for one in found])
    kept = _without_newer(recheck, changed)
    _store(recheck, kept, answers)
    Recheck.objects.filter(pk=recheck.pk).update(
        reached=reached,
        checked=F("checked") + judged,
        changed=F("changed") + len(kept),
        worse=F("worse") + sum(one.verdict.worse for one in kept),
        became_stop=F("became_stop") + sum(one.verdict.became_stop for one in kept),
    )


def _replace_older(recheck: Recheck, records: Sequence[int]) -> None:
    """Take what earlier runs said of these records off the lists: this run says it anew, or it is so no more."""
    earlier = Change.objects.unseen().filter(record_id__in=records, recheck_id__lt=recheck.pk)
    earlier.update(replaced_by=recheck)


def _without_newer(recheck: Recheck, changed: Sequence[Rejudged]) -> list[Rejudged]:
    """Leave out records of which a newer run has spoken meanwhile."""
    pks = [one.record.pk for one in changed]
    rows = Change.objects.filter(record_id__in=pks, recheck_id__gt=recheck.pk)
    newer = set(rows.values_list("record_id", flat=True)) if pks else set()
    return [one for one in changed if one.record.pk not in newer]


def _store(recheck: Recheck, changed: Sequence[Rejudged], answers: Answers) -> None:
    if not changed:
        return
    new = {one.record.pk: answers[one.record.pk] for one in changed if one.assessment}
    StoredAssessment.objects.bulk_create(new.values())
    before = StoredAssessment.objects.filter(pk__in=[one.record.assessment_id for one in changed])
    stacks = dict(before.values_list("pk", "stack"))
    rows = [
        _row(recheck, one, new.get(one.record.pk), stacks.get(one.record.assessment_id or 0))
        for one in changed
    ]
    _keep_seen(rows)
    Change.objects.bulk_create(rows)


def _keep_seen(rows: Sequence[Change]) -> None:
    """Leave what a person has seen as seen, with the note, while a later run says no other of the stack."""
    records = Change.objects.filter(record_id__in=[row.record_id for row in rows]).values("record_id")
    newest = records.annotate(last=Max("pk")).order_by().values("last")
    last = {change.record_id: change for change in Change.objects.filter(pk__in=newest)}
    for row in rows:
        before = last.get(row.record_id)
        if before is not None and before.seen_at is not None and _says(before) == _says(row):
            for name in ("seen_at", "seen_by_id", "seen_by_name", "note"):
                setattr(row, name, getattr(before, name))


def _says(change: Change) -> tuple[Any, ...]:
    figures = (change.margin_after, change.l10h_after, change.l10mh_after)
    shown = tuple(figure if figure is None else round(figure, SAME_TO_DECIMALS) for figure in figures)
    return (change.worst_after, change.appeared, change.gone, *shown)


def _row(
    recheck: Recheck, one: Rejudged, after: StoredAssessment | None, stack: Mapping[str, Any] | None
) -> Change:
    record, job = one.record, one.record.job
    return Change(
        recheck=recheck,
        record_id=record.pk,
        job_id=job.pk,
        motor_id=job.motor_id,
        in_service=one.in_service,
        before_id=record.assessment_id,
        after=after,
        margin_before=one.before.margin,
        margin_after=one.after.margin,
        speed_before=one.before.speed,
        speed_after=one.after.speed,
        l10h_before=one.before.l10h,
        l10h_after=one.after.l10h,
        l10mh_before=one.before.l10mh,
        l10mh_after=one.after.l10mh,
        worst_before=one.before.worst,
        worst_after=one.after.worst,
        became_stop=one.verdict.became_stop,
        is_worse=one.verdict.worse,
        told=one.verdict.became_stop or recheck.why == Recheck.Why.PLATE,
        appeared=[list(finding) for finding in one.verdict.appeared],
        gone=[list(finding) for finding in one.verdict.gone],
        renewals=[
            {
                "ref": ref,
                "designation": renewal.data.get("designation", ""),
                "source": str(renewal.rating.source),
                "rating": renewal.rating.pk,
                "changes": {name: list(pair) for name, pair in renewal.changes.items()},
            }
            for ref, renewal in one.renewals
        ],
        inputs=input_changes(stack or {}, after.stack if after else {}) if stack and after else [],
        hindrances=list(one.hindrances),
    )


def input_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[dict[str, object]]:
    """Return what went into the two checks differently, beside the bearings: motor, oil, policy."""
    rows = []
    for room in INPUT_ROOMS:
        usual = DEFAULTS if room == "policy" else {}
        old, new = _flat({**usual, **(before.get(room) or {})}), _flat({**usual, **(after.get(room) or {})})
        rows += [
            {"room": room, "field": name, "before": old.get(name), "after": new.get(name)}
            for name in sorted({*old, *new})
            if old.get(name) != new.get(name)
        ]
    return rows


def _flat(values: Mapping[str, Any]) -> dict[str, object]:
    """Return a room's values with the set factors among them, by their own names."""
    factors = {**DEFAULTS["set_factors"], **values["set_factors"]} if "set_factors" in values else {}
    return {**{name: value for name, value in values.items() if name != "set_factors"}, **factors}
