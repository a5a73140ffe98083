"""Take a signature back that was given by mistake, as long as nothing stands on it."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import AnothersEntryError, WorkOrderError
from repairs.work_orders.models import Job, SignOff, Step
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.services.board_row import refresh_board


def newest_signature(job: Job) -> SignOff | None:
    """Return the last signature under a step of a job; a lead's word that a step may pass is none."""
    signatures = SignOff.objects.filter(step__job=job).exclude(signed_as=SignOff.As.OVERRIDE)
    return signatures.select_related("step").order_by("-pk").first()


def can_be_taken_back(signature: SignOff | None, actor: Actor) -> bool:
    """Whether a person sees the way back: it is theirs or they lead, and the step stands as signed."""
    if signature is None or signature.step.state != Step.State.DONE or begun_since(signature) is not None:
        return False
    if settled_since(signature) is not None:
        return False
    return signature.person_id == actor.user_id or role_may(actor.role, Permission.EDIT_ROUTE)


def begun_since(signature: SignOff) -> Step | None:
    """Return a later step on which somebody has begun to work since."""
    later = Step.objects.filter(job_id=signature.step.job_id, position__gt=signature.step.position)
    return later.filter(state=Step.State.WAITING, started_at__gt=signature.at).first()


def settled_since(signature: SignOff) -> Step | None:
    """Return a step that was signed or skipped after a signature: then the signature is not the last act any more."""
    steps = Step.objects.filter(job_id=signature.step.job_id).exclude(pk=signature.step_id)
    return (
        steps.exclude(state=Step.State.WAITING)
        .filter(ended_at__gt=signature.at)
        .order_by("-ended_at")
        .first()
    )


@transaction.atomic
def take_back(*, actor: Actor, step: Step, confirmed: int | None = None) -> Step:
    """Set a step to be done again as if it was never signed.

    Only the job's last signature can go, by who gave it, and not while anything stands on it: a later step skipped
    or begun. A lead takes off another person's after being told whose it is: ``confirmed`` is that signature's key.
    The row goes; the ledger keeps that it was given, whose it was, and who took it back.
    """
    job = lock_open_job(step.job_id)
    signature = newest_signature(job)
    if signature is None or signature.step_id != step.pk or signature.step.state != Step.State.DONE:
        raise WorkOrderError(
            _("Another step was signed since. Only the last sign-off can be undone; a lead can redo a step.")
        )
    signed = signature.step
    if begun := begun_since(signature):
        words = _("Work on “{step}” has started. A lead can redo “{signed}”.")
        raise WorkOrderError(words.format(step=begun.title, signed=signed.title))
    if later := settled_since(signature):
        words = _("“{step}” was skipped or signed after “{signed}”. A lead can redo “{signed}”.")
        raise WorkOrderError(words.format(step=later.title, signed=signed.title))
    if not can_be_taken_back(signature, actor):
        raise WorkOrderError(
            _("Only {person} or a lead can undo this sign-off.").format(person=signature.person_name)
        )
    if signature.person_id != actor.user_id and confirmed != signature.pk:
        words = _("{person} signed “{step}”. Press Undo again to undo that sign-off.")
        raise AnothersEntryError(words.format(person=signature.person_name, step=signed.title), signature.pk)
    before = {"person": signature.person_name, "note": signature.note, "at": signature.at.isoformat()}
    signature.delete()
    signed.state, signed.ended_at = Step.State.WAITING, None
    signed.save(update_fields=["state", "ended_at"])
    record_event(
        actor=actor,
        verb="step.unsigned",
        subject=signed,
        job_number=job.number,
        before=before,
        after={"step": signed.title},
    )
    refresh_board(job)
    return signed
