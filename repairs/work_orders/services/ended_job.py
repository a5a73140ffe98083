"""What a closed or cancelled job still takes: to be reopened, when the motor left the shop, the invoice number."""

from __future__ import annotations

from datetime import date
from typing import Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.leaving import refuse_pickup
from repairs.work_orders.models import Job, Pickup

PICKUP_FIELDS: Final = ("left_on", "carrier", "signed_by", "note")


@transaction.atomic
def reopen_job(*, actor: Actor, job: Job, reason: str) -> Job:
    """Let a closed or cancelled job take work again, as a lead, for a reason that the history keeps."""
    if not role_may(actor.role, Permission.REOPEN_JOBS):
        raise WorkOrderError(_("Only a lead can reopen a job."))
    if not reason.strip():
        raise WorkOrderError(_("Enter the reason for reopening the job."), "reason")
    now = Job.objects.select_for_update().get(pk=job.pk)
    if now.state == Job.State.OPEN:
        raise WorkOrderError(_("Job {number} is already open.").format(number=now.number))
    before = {"state": now.state, "ended": now.closed_at.isoformat() if now.closed_at else ""}
    before["end_reason"] = now.end_reason
    now.state, now.closed_at, now.end_reason = Job.State.OPEN, None, ""
    now.version += 1
    now.save(update_fields=["state", "closed_at", "end_reason", "version"])
    record_event(
        actor=actor,
        verb="job.reopened",
        subject=now,
        job_number=now.number,
        before=before,
        after={"state": now.state},
        reason=reason.strip(),
    )
    return now


@transaction.atomic
def record_pickup(
    *, actor: Actor, job: Job, left_on: date, signed_by: str, carrier: str = "", note: str = ""
) -> Pickup:
    """Record when the motor left the shop and who signed for it. A second record corrects the first."""
    if not role_may(actor.role, Permission.OPEN_JOBS):
        raise WorkOrderError(_("Only the office or a lead can record the pickup."))
    now = Job.objects.select_for_update().get(pk=job.pk)
    refuse_pickup(now)
    opened, today = timezone.localdate(now.opened_at), timezone.localdate()
    if not opened <= left_on <= today:
        raise WorkOrderError(
            _("Enter a pickup date from {opened} (job opened) to {today} (today).").format(
                opened=date_format(opened), today=date_format(today)
            ),
            "left_on",
        )
    pickup = Pickup(
        job=now,
        left_on=left_on,
        carrier=carrier.strip(),
        signed_by=signed_by.strip(),
        note=note.strip(),
        person_id=actor.person_id,
        person_name=actor.name,
    )
    if not pickup.signed_by:
        raise WorkOrderError(_("Enter who signed for the motor."), "signed_by")
    try:
        pickup.full_clean()
    except ValidationError as error:
        name, texts = next(iter(error.message_dict.items()))
        label = capfirst(str(getattr(Pickup, name).field.verbose_name))
        raise WorkOrderError(f"{label}: {' '.join(texts)}", name) from error
    earlier = now.pickups.first()
    pickup.save()
    record_event(
        actor=actor,
        verb="job.picked_up",
        subject=pickup,
        job_number=now.number,
        before=_told(earlier) if earlier else None,
        after={"name": str(pickup.left_on), **_told(pickup)},
    )
    return pickup


def _told(pickup: Pickup) -> dict[str, str]:
    return {name: str(getattr(pickup, name)) for name in PICKUP_FIELDS}


@transaction.atomic
def record_invoice(*, actor: Actor, job: Job, number: str) -> Job:
    """Put the number of the invoice on a job, or take a wrong one off."""
    if not role_may(actor.role, Permission.OPEN_JOBS):
        raise WorkOrderError(_("Only the office or a lead can enter the invoice number."))
    text = number.strip()
    if len(text) > 60:
        raise WorkOrderError(_("Enter an invoice number of at most 60 characters."), "invoice_number")
    now = Job.objects.select_for_update().get(pk=job.pk)
    before, now.invoice_number = now.invoice_number, text
    if before != text:
        now.save(update_fields=["invoice_number"])
        record_event(
            actor=actor,
            verb="job.invoiced",
            subject=now,
            job_number=now.number,
            before={"invoice_number": before},
            after={"name": text, "invoice_number": text},
        )
    return now
