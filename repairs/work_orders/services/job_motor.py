"""Give a job another motor: the wrong one was chosen when the job was opened."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.motors.models import Motor
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, StackRecord
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.search import index_job
from repairs.work_orders.signals import jobs_moved


@transaction.atomic
def change_job_motor(*, actor: Actor, job: Job, version: int, motor: Motor, reason: str) -> Job:
    """Let an open job belong to another motor of the same customer, until a stack is signed or specified in it.

    Readings, photos, notes and records that are not signed stay with the job; those records are judged by the new
    motor's plate when they are signed.
    """
    if not role_may(actor.role, Permission.OPEN_JOBS):
        raise WorkOrderError(_("Only the office or a lead can change a job's motor."))
    job = lock_open_job(job)
    if job.version != version:
        raise StaleVersionError(_("Someone else changed this job. Compare both before you save."))
    motor = Motor.objects.select_for_update(of=("self",)).select_related("customer").get(pk=motor.pk)
    _refuse(job, motor)
    if not reason.strip():
        raise WorkOrderError(_("Enter the reason for changing the motor."), "reason")
    before, job.motor = job.motor, motor
    if motor.site is not None:
        job.site = motor.site
    job.version += 1
    job.save(update_fields=["motor", "site", "version"])
    index_job(job)
    jobs_moved.send(sender=Motor, motors=(before, motor))
    record_event(
        actor=actor,
        verb="job.motor_changed",
        subject=job,
        job_number=job.number,
        before={"motor": before.pk, "name": str(before), "serial": before.serial},
        after={"motor": motor.pk, "name": f"{before} → {motor}", "serial": motor.serial},
        reason=reason.strip()[:400],
    )
    return job


def motor_stays(job: Job) -> str:
    """Say why a job's motor can no longer be changed; an empty text while it can."""
    signed = StackRecord.objects.signed().filter(job=job).order_by("pk").first()
    if signed is not None:
        words = _(
            "“{stage}” is signed and was checked against this motor's nameplate. You cannot change the motor."
        )
        return words.format(stage=signed.get_stage_display())
    if StackRecord.objects.filter(job=job, submitted_at__isnull=False).exists():
        return _("This job has a specified stack. You cannot change the motor.")
    return ""


def _refuse(job: Job, motor: Motor) -> None:
    if words := motor_stays(job):
        raise WorkOrderError(words, "motor")
    if motor.pk == job.motor_id:
        raise WorkOrderError(_("This job already has this motor."), "motor")
    if motor.merged_into_id is not None:
        raise WorkOrderError(_("This motor was merged into another one. Use that one."), "motor")
    if motor.customer_id != job.customer_id:
        words = _("This motor belongs to {customer}. Change its owner first.")
        raise WorkOrderError(words.format(customer=motor.customer), "motor")
    if opened := Job.objects.open().filter(motor=motor).first():
        raise WorkOrderError(
            _("This motor is already in the shop, job {number}.").format(number=opened), "motor"
        )
