"""Ask for a re-check, and say that what it found was seen."""

from __future__ import annotations

from django.db import transaction
from django.db.models import Max, Q
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import VERSION, grouped
from repairs.ledger.models import Event
from repairs.ledger.services import Actor, record_event
from repairs.long_work.services import start_long_work
from repairs.motors.models import Motor
from repairs.rechecks.models import Change, ChangeQuerySet, Recheck
from repairs.rechecks.running import KIND, run_recheck
from repairs.rechecks.standing import Scope, standing_records

BOOK_SUBJECTS = ("source", "rating")


class RecheckError(Exception):
    """The change is refused; ``field`` names the form's field when there is one."""

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


@transaction.atomic
def begin_recheck(
    *,
    actor: Actor,
    why: str,
    about: str = "",
    jobs: bool = True,
    motors: bool = True,
    motor: Motor | None = None,
) -> Recheck:
    """Write a run down, not yet begun. One over the whole shop takes the place of unfinished ones that it covers."""
    recheck = Recheck.objects.create(
        why=why,
        about=about[:200],
        jobs=jobs,
        motors=motors,
        motor=motor,
        asked_by_id=actor.user_id,
        asked_by_name=actor.name,
        engine_version=VERSION,
        book_event=Event.objects.aggregate(last=Max("id"))["last"] or 0,
    )
    if motor is None:
        covered = Q(jobs=False) | Q(jobs=jobs), Q(motors=False) | Q(motors=motors)
        older = Recheck.objects.whole().unfinished().filter(*covered, pk__lt=recheck.pk)
        older.update(superseded_by=recheck)
    record_event(
        actor=actor,
        verb="recheck.asked",
        subject=recheck,
        after={"why": why, "about": about, "jobs": jobs, "motors": motors, "motor": motor and motor.pk},
    )
    return recheck


@transaction.atomic
def ask_recheck(*, actor: Actor, why: str, about: str = "", key: str = "") -> Recheck:
    """Have every standing stack of the shop checked again, in the background; the same key asks once."""
    if key and (asked := Recheck.objects.filter(work__kind=KIND, work__key=key).first()):
        return asked
    recheck = begin_recheck(actor=actor, why=why, about=about)
    recheck.work = start_long_work(kind=KIND, asked_by=actor, parameters={"recheck": recheck.pk}, key=key)
    recheck.save(update_fields=["work"])
    return recheck


@transaction.atomic
def recheck_motor(*, actor: Actor, motor: Motor) -> Recheck | None:
    """Check the standing stacks of one motor again, at once: there are few. None when it has none."""
    if not standing_records(Scope(motor_id=motor.pk)).exists():
        return None
    recheck = begin_recheck(actor=actor, why=Recheck.Why.PLATE, about=str(motor), motor=motor)
    return run_recheck(recheck)


def _refuse_note(note: str, *, needed: bool) -> str:
    note = note.strip()
    if needed and not note:
        raise RecheckError(_("Enter the action taken for a stack that became STOP."), "note")
    if len(note) > 300:
        words = _("{count} characters are too many. Accepted: at most {most}.")
        raise RecheckError(words.format(count=grouped(len(note)), most=300), "note")
    return note


@transaction.atomic
def mark_seen(*, actor: Actor, change: Change, note: str = "") -> Change:
    """Say that a person saw a change and what is done about it; of two people the first one counts."""
    now = Change.objects.select_for_update().get(pk=change.pk)
    if now.seen_at is not None:
        if now.seen_by_id == actor.user_id and now.note == note.strip():
            return now
        raise RecheckError(_("{name} has already marked this as seen.").format(name=now.seen_by_name))
    if now.replaced_by_id is not None:
        raise RecheckError(_("A later re-check replaced this one."))
    now.note = _refuse_note(note, needed=now.became_stop)
    now.seen_at, now.seen_by_id, now.seen_by_name = timezone.now(), actor.person_id, actor.name
    now.save(update_fields=["note", "seen_at", "seen_by", "seen_by_name"])
    record_event(
        actor=actor,
        verb="recheck.seen",
        subject=now,
        job_number="" if now.in_service else now.job.number,
        after={"recheck": now.recheck_id, "became_stop": now.became_stop},
        reason=now.note,
    )
    return now


@transaction.atomic
def mark_rest_seen(*, actor: Actor, recheck: Recheck, changes: ChangeQuerySet, note: str) -> int:
    """Say of many changes at once that they were seen; what became stop is never among them. Return how many."""
    note = _refuse_note(note, needed=True)
    rows = changes.unseen().filter(recheck=recheck, became_stop=False)
    count = rows.order_by().update(
        seen_at=timezone.now(), seen_by_id=actor.person_id, seen_by_name=actor.name, note=note
    )
    if count:
        record_event(
            actor=actor, verb="recheck.rest_seen", subject=recheck, after={"count": count}, reason=note
        )
    return count
