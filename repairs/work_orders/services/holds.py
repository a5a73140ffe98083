"""Put a job on hold, let it go on, hand it over."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import HandOver, Hold, Job


@transaction.atomic
def hold_job(*, actor: Actor, job: Job, waits_for: str, reason: str) -> Hold:
    """Say that a job waits, for whom and why."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.on_hold:
        raise WorkOrderError(_("This job is already on hold: {words}.").format(words=job.hold_words))
    if not reason.strip():
        raise WorkOrderError(_("Say why the job waits."), "reason")
    hold = Hold.objects.create(job=job, waits_for=waits_for, reason=reason, set_by_id=actor.person_id)
    job.on_hold = True
    job.hold_words = f"{hold.get_waits_for_display()}: {reason}"[:160]
    job.hold_since = hold.since
    job.save(update_fields=["on_hold", "hold_words", "hold_since"])
    record_event(
        actor=actor,
        verb="job.held",
        subject=job,
        job_number=job.number,
        after={"waits_for": waits_for},
        reason=reason,
    )
    return hold


@transaction.atomic
def release_job(*, actor: Actor, job: Job) -> Job:
    """Let a job go on."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    hold = job.holds.filter(released_at__isnull=True).first()
    if hold is None:
        raise WorkOrderError(_("This job is not on hold."))
    hold.released_at = timezone.now()
    hold.released_by_id = actor.person_id
    hold.save(update_fields=["released_at", "released_by"])
    job.on_hold = False
    job.hold_words = ""
    job.hold_since = None
    job.save(update_fields=["on_hold", "hold_words", "hold_since"])
    record_event(
        actor=actor, verb="job.released", subject=job, job_number=job.number, before={"reason": hold.reason}
    )
    return job


@transaction.atomic
def write_hand_over(
    *, actor: Actor, job: Job, done: str, parts_lie: str = "", danger: str = "", not_to_trust: str = ""
) -> HandOver:
    """Write down what the next person must know; it shows on the board until somebody accepts it."""
    if not done.strip():
        raise WorkOrderError(_("Say what is done and what is not."), "done")
    note = HandOver.objects.create(
        job=job,
        written_by_id=actor.person_id,
        done=done,
        parts_lie=parts_lie,
        danger=danger,
        not_to_trust=not_to_trust,
    )
    Job.objects.filter(pk=job.pk).update(hand_over_open=True)
    record_event(
        actor=actor,
        verb="hand_over.written",
        subject=note,
        job_number=job.number,
        after={"done": done, "parts_lie": parts_lie, "danger": danger, "not_to_trust": not_to_trust},
    )
    return note


@transaction.atomic
def accept_hand_over(*, actor: Actor, hand_over: HandOver) -> HandOver:
    """Take a job over; the one who wrote the note cannot."""
    note = HandOver.objects.select_for_update().select_related("job").get(pk=hand_over.pk)
    if note.accepted_at is not None:
        raise WorkOrderError(_("This hand-over was already accepted."))
    if note.written_by_id == actor.user_id:
        raise WorkOrderError(_("Somebody else must accept what you hand over."))
    note.accepted_at = timezone.now()
    note.accepted_by_id = actor.person_id
    note.save(update_fields=["accepted_at", "accepted_by"])
    waiting = note.job.hand_overs.filter(accepted_at__isnull=True).exists()
    Job.objects.filter(pk=note.job_id).update(hand_over_open=waiting)
    record_event(actor=actor, verb="hand_over.accepted", subject=note, job_number=note.job.number)
    return note
