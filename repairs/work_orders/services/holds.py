"""Put a job on hold, let it go on, hand it over."""

from __future__ import annotations

from typing import Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.models import User
from repairs.work_orders.entry_origin import note_origin, step_of_entry, tell_signers
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import HandOver, Hold, Job, Step
from repairs.work_orders.open_job import lock_open_job


@transaction.atomic
def hold_job(*, actor: Actor, job: Job, waits_for: str, reason: str, tell_customer: str = "") -> Hold:
    """Say that a job waits, for whom and why; the customer reads ``tell_customer``, never the reason."""
    job = lock_open_job(job)
    if job.on_hold:
        raise WorkOrderError(_("This job is already on hold: {words}.").format(words=job.hold_words))
    if not reason.strip():
        raise WorkOrderError(_("Enter why the job is on hold."), "reason")
    hold = Hold.objects.create(
        job=job,
        waits_for=waits_for,
        reason=reason,
        tell_customer=tell_customer.strip(),
        set_by_id=actor.person_id,
    )
    job.on_hold = True
    job.hold_words = f"{hold.get_waits_for_display()}: {reason}"[:160]
    job.hold_since = hold.since
    job.save(update_fields=["on_hold", "hold_words", "hold_since"])
    record_event(
        actor=actor,
        verb="job.held",
        subject=job,
        job_number=job.number,
        after={"waits_for": waits_for, "tell_customer": hold.tell_customer},
        reason=reason,
    )
    return hold


@transaction.atomic
def release_job(*, actor: Actor, job: Job) -> Job:
    """Let a job go on."""
    job = lock_open_job(job)
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


HAND_OVER_WORDS: Final = ("done", "parts_lie", "danger", "lock_of", "not_to_trust", "next_action")


@transaction.atomic
def write_hand_over(
    *, actor: Actor, job: Job, meant_for: User | None = None, step: Step | None = None, **words: str
) -> HandOver:
    """Write down what the next person must know; it shows on the board until somebody accepts it.

    What is energised, hot, lifted or locked out names whose lock it is: the next person cannot take that lock off.
    """
    if unknown := set(words) - set(HAND_OVER_WORDS):
        raise TypeError(f"not a word of a hand-over: {sorted(unknown)}")
    said = {name: words.get(name, "").strip() for name in HAND_OVER_WORDS}
    if not said["done"]:
        raise WorkOrderError(_("Enter what is done and what is not."), "done")
    if meant_for is not None and meant_for.pk == actor.user_id:
        raise WorkOrderError(_("Hand the job off to someone else, or to whoever is next."), "meant_for")
    job = lock_open_job(job)
    step = step or step_of_entry(job, None)
    note = HandOver(
        job=job,
        written_by_id=actor.person_id,
        meant_for=meant_for,
        step_title=step.title if step else "",
        **said,
    )
    if note_origin(note, actor=actor, step=step) and step is not None:
        tell_signers(actor=actor, step=step, words=_("Handoff note: {text}").format(text=said["done"]))
    note.save()
    Job.objects.filter(pk=job.pk).update(hand_over_open=True)
    record_event(
        actor=actor,
        verb="hand_over.written",
        subject=note,
        job_number=job.number,
        after={**said, "meant_for": str(meant_for) if meant_for else ""},
    )
    return note


@transaction.atomic
def accept_hand_over(*, actor: Actor, hand_over: HandOver) -> HandOver:
    """Take a job over; the one who wrote the note cannot."""
    lock_open_job(hand_over.job_id)
    note = HandOver.objects.select_for_update(of=("self",)).select_related("job").get(pk=hand_over.pk)
    if note.accepted_at is not None:
        raise WorkOrderError(_("This handoff is already accepted."))
    if note.written_by_id == actor.user_id:
        raise WorkOrderError(_("Someone else must accept your handoff."))
    note.accepted_at = timezone.now()
    note.accepted_by_id = actor.person_id
    note.save(update_fields=["accepted_at", "accepted_by"])
    waiting = note.job.hand_overs.filter(accepted_at__isnull=True).exists()
    Job.objects.filter(pk=note.job_id).update(hand_over_open=waiting)
    record_event(actor=actor, verb="hand_over.accepted", subject=note, job_number=note.job.number)
    return note
