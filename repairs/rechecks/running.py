"""Run a re-check: chunk after chunk by the records' keys, so that memory stays flat however large the shop is."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import Final

from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from bearings.public import Pace, grouped
from repairs.ledger.services import SYSTEM, record_event
from repairs.long_work.kinds import Report, Result, register
from repairs.long_work.models import LongWork
from repairs.rechecks.judging import Rejudged, rejudge
from repairs.rechecks.models import Recheck
from repairs.rechecks.standing import Scope, for_judging, standing_records
from repairs.rechecks.writing import SupersededError, answers_to, write_chunk
from repairs.work_orders.judging import shop_limits

KIND: Final = "recheck"
LEAST_CHUNK: Final = 5
CHUNK: Final = 50


def chunk_pace() -> Pace:
    """Return the pace at which chunks are written, so that nobody waits for a re-check of the whole shop."""
    return Pace(least=LEAST_CHUNK, most=CHUNK)


def chunks(scope: Scope, pace: Pace, *, after: int = 0) -> Iterator[tuple[int, list[Rejudged]]]:
    """Yield the records of a scope re-judged, a chunk at a time, each with the key of its last record.

    They are read by the fifty, however few of them the pace writes at once.
    """
    limits = shop_limits()
    rows = for_judging(standing_records(scope)).order_by("pk")
    while records := list(rows.filter(pk__gt=after)[:CHUNK].iterator(CHUNK)):
        judged = rejudge(records, limits)
        while chunk := list(islice(judged, pace.rows)):
            after = chunk[-1].record.pk
            yield after, chunk


def silent(_done: int, _total: int) -> None:
    """Report to nobody."""


def run_recheck(recheck: Recheck, report: Report = silent) -> Recheck:
    """Run a re-check to its end, or on from where it was interrupted; a newer one makes it stop."""
    scope = Scope(jobs=recheck.jobs, motors=recheck.motors, motor_id=recheck.motor_id)
    done = recheck.checked
    total = done + standing_records(scope).filter(pk__gt=recheck.reached).count()
    report(done, total)
    pace = chunk_pace()
    try:
        for reached, found in chunks(scope, pace, after=recheck.reached):
            answers = answers_to(found)
            with pace.batch():
                write_chunk(recheck, found, answers, reached=reached, judged=len(found))
            done += len(found)
            report(done, max(done, total))
        finish(recheck)
    except SupersededError:
        pass
    recheck.refresh_from_db()
    return recheck


@transaction.atomic
def finish(recheck: Recheck) -> None:
    """Say that a run came to its end, unless a newer one took its place."""
    now = Recheck.objects.select_for_update().get(pk=recheck.pk)
    if now.superseded_by_id is not None:
        raise SupersededError
    now.finished_at = timezone.now()
    now.save(update_fields=["finished_at"])
    counts = {name: getattr(now, name) for name in ("checked", "changed", "worse", "became_stop")}
    record_event(actor=SYSTEM, verb="recheck.finished", subject=now, after=counts)


def run_as_long_work(work: LongWork, report: Report) -> dict[str, object]:
    """Run the re-check that a piece of long work was asked for."""
    recheck = run_recheck(Recheck.objects.get(pk=work.parameters["recheck"]), report)
    return {
        "recheck": recheck.pk,
        "checked": recheck.checked,
        "changed": recheck.changed,
        "became_stop": recheck.became_stop,
        "superseded": recheck.superseded_by_id is not None,
    }


def told(work: LongWork) -> Result:
    """Say what came of a re-check, for the page that waits for it."""
    outcome = work.outcome
    if outcome["superseded"]:
        return Result(_("Replaced by a newer re-check."), reverse("office:recheck_list"))
    words = ngettext(
        "%(checked)s stack checked, %(changed)s changed, %(stop)s became STOP.",
        "%(checked)s stacks checked, %(changed)s changed, %(stop)s became STOP.",
        outcome["checked"],
    )
    names = {"checked": "checked", "changed": "changed", "stop": "became_stop"}
    counts = {name: grouped(outcome[kept]) for name, kept in names.items()}
    return Result(words % counts, reverse("office:recheck", args=[outcome["recheck"]]))


def register_kind() -> None:
    """Make the re-check known as a kind of long work; who may see the shop may watch it."""
    register(KIND, gettext_lazy("Re-check all stacks"), run_as_long_work, result=told)
