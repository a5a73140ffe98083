"""Ask for long work, start it again, and run it."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from time import monotonic
from typing import Any, Final
from uuid import uuid4

from django.db import IntegrityError, models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.long_work.kinds import kind_of
from repairs.long_work.launching import launch
from repairs.long_work.life_signs import forget, life_sign
from repairs.long_work.models import LongWork

TOLD_EVERY_S: Final = 0.5
logger = logging.getLogger(__name__)


class LongWorkError(Exception):
    """The work cannot be done, for a reason that people can read."""


class TakenOverError(Exception):
    """Another process took the work over; this one stops without a word."""


@transaction.atomic
def start_long_work(*, kind: str, asked_by: Actor, parameters: Mapping[str, Any], key: str = "") -> LongWork:
    """Ask for a piece of work; it is started after the commit. The same key asks for the same piece of work."""
    kind_of(kind)
    if key and (asked := LongWork.objects.filter(kind=kind, key=key).first()):
        return asked
    work = LongWork(
        kind=kind,
        key=key,
        asked_by_id=asked_by.user_id,
        asked_by_name=asked_by.name,
        parameters=dict(parameters),
    )
    try:
        with transaction.atomic():
            work.save()
    except IntegrityError:
        # Two copies of one form arrived together; the other one won.
        return LongWork.objects.get(kind=kind, key=key)
    record_event(actor=asked_by, verb="long_work.asked", subject=work, after={"kind": kind})
    transaction.on_commit(lambda: launch(work.pk), robust=True)
    return work


@transaction.atomic
def start_again(*, actor: Actor, work: LongWork) -> LongWork:
    """Start work again that failed, or whose process fell silent."""
    now = LongWork.objects.select_for_update().get(pk=work.pk)
    if not now.may_start_again:
        raise LongWorkError(_("This is already running or done."))
    now.state, now.error, now.heartbeat = LongWork.State.WAITING, "", timezone.now()
    # The number goes up here already, so that a process that wakes up late finds its own gone.
    now.attempt += 1
    now.save(update_fields=["state", "error", "heartbeat", "attempt"])
    transaction.on_commit(lambda: forget(now.mark), robust=True)
    record_event(actor=actor, verb="long_work.started_again", subject=now, after={"kind": now.kind})
    transaction.on_commit(lambda: launch(now.pk), robust=True)
    return now


class Progress:
    """Writes how far one attempt is, at most every half second."""

    def __init__(self, work: LongWork) -> None:
        self._rows = LongWork.objects.filter(pk=work.pk, attempt=work.attempt, state=LongWork.State.RUNNING)
        self._told_at = monotonic()
        self.done = self.total = 0

    def __call__(self, done: int, total: int) -> None:
        self.done, self.total = done, total
        if monotonic() - self._told_at >= TOLD_EVERY_S:
            self.tell()

    def tell(self, **values: Any) -> None:
        """Write the row, unless the work is no longer this attempt's."""
        self._told_at = monotonic()
        written = self._rows.update(done=self.done, total=self.total, heartbeat=timezone.now(), **values)
        if not written:
            raise TakenOverError


def _claimed(pk: int, mark: str) -> LongWork | None:
    """Take a row for this process alone, or return None when it is another's or finished."""
    now = timezone.now()
    taken = (
        LongWork.objects.startable()
        .filter(pk=pk)
        .update(
            state=LongWork.State.RUNNING,
            attempt=models.F("attempt") + 1,
            started_at=now,
            finished_at=None,
            heartbeat=now,
            done=0,
            total=0,
            error="",
            mark=mark,
        )
    )
    return LongWork.objects.get(pk=pk) if taken else None


def run_long_work(pk: int) -> LongWork | None:
    """Run a row in this process and return it as it ended; None when it was not this process's to run.

    The sign of life is there before the row is taken, so that a row never names a sign that nobody has set yet.
    """
    mark = uuid4().hex
    with life_sign(mark):
        work = _claimed(pk, mark)
        return _run(work) if work is not None else None


def _run(work: LongWork) -> LongWork | None:
    progress = Progress(work)
    try:
        outcome = kind_of(work.kind).function(work, progress) or {}
        _end(progress, state=LongWork.State.DONE, outcome=outcome)
    except TakenOverError:
        return None
    except LongWorkError as error:
        _end(progress, state=LongWork.State.FAILED, error=str(error))
    except Exception:
        # Whatever it was, the row must say that it ended; the traceback is for the server's log, not for people.
        logger.exception("Long work %s failed", work.pk)
        words = _("An unexpected error stopped this; the server log has details. Try again.")
        _end(progress, state=LongWork.State.FAILED, error=words)
    work.refresh_from_db()
    return work


def _end(progress: Progress, **values: Any) -> None:
    try:
        progress.tell(finished_at=timezone.now(), **values)
    except TakenOverError:
        logger.warning("Long work was taken over by another process before it ended")
