"""Take a signature back that was given by mistake, as long as nothing stands on it."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError
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
    return signature.person_id == actor.user_id or role_may(actor.role, Permission.EDIT_ROUTE)


def begun_since(signature: SignOff) -> Step | None:
    """Return a later step on which somebody has begun to work since."""
    later = Step.objects.filter(job_id=signature.step.job_id, position__gt=signature.step.position)
    return later.filter(state=Step.State.WAITING, started_at__gt=signature.at).first()


@transaction.atomic
def take_back(*, actor: Actor, step: Step) -> Step:
    """Set a step to be done again as if it was never signed.

    Only the job's last signature can go, by who gave it or by a lead, and not while somebody has begun the next
    step. The row goes; the ledger keeps that it was given and taken back.
    """
    job = lock_open_job(step.job_id)
    signature = newest_signature(job)
    if signature is None or signature.step_id != step.pk or signature.step.state != Step.State.DONE:
        raise WorkOrderError(
            _(
                "Another step was signed since. Only the last signature can be taken back; a lead repeats a step."
            )
        )
    signed = signature.step
    if begun := begun_since(signature):
        words = _("Work on “{step}” has begun since. A lead can set “{signed}” to be done again.")
        raise WorkOrderError(words.format(step=begun.title, signed=signed.title))
    if not can_be_taken_back(signature, actor):
        raise WorkOrderError(
            _("Only {person} or a lead can take this signature back.").format(person=signature.person_name)
        )
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
