"""Open a job with the next number, and change its paperwork."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.customers.models import Contact, Customer, Site
from repairs.ledger.services import Actor, record_event
from repairs.motors.models import Motor
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.leaving import refuse_closing
from repairs.work_orders.models import Job, JobCounter, RouteTemplate
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.search import index_job
from repairs.work_orders.services.board_row import refresh_board
from repairs.work_orders.services.route import lay_out_route
from repairs.work_orders.services.work import stop_clocks_of_job

CHANGEABLE = ("complaint", "purchase_order", "priority", "promised_on", "site", "contact")


def next_number(today: date) -> str:
    """Take the next number of the year; call it inside the transaction that opens the job.

    The counter's row stays locked until that transaction ends, so two openings at once get two numbers and
    an opening that fails gives its number back.
    """
    JobCounter.objects.get_or_create(year=today.year)
    counter = JobCounter.objects.select_for_update().get(year=today.year)
    counter.last += 1
    counter.save(update_fields=["last"])
    return f"{today.year % 100:02d}-{counter.last:04d}"


def default_template(motor: Motor) -> RouteTemplate | None:
    """Return the route template for a motor's build, else one for any build."""
    templates = RouteTemplate.objects.filter(active=True)
    return templates.filter(for_build=motor.build).first() or templates.filter(for_build="").first()


def past_promise(promised_on: date | None, today: date) -> str:
    """Return what is wrong with a promise, for the form and for the service; an empty text when nothing is."""
    if promised_on is None or promised_on >= today:
        return ""
    return _("The promised date is in the past. Enter today ({today}) or later.").format(today=today)


@transaction.atomic
def open_job(
    *,
    actor: Actor,
    motor: Motor,
    customer: Customer,
    complaint: str,
    today: date,
    site: Site | None = None,
    contact: Contact | None = None,
    purchase_order: str = "",
    priority: str = Job.Priority.NORMAL,
    promised_on: date | None = None,
    template: RouteTemplate | None = None,
) -> Job:
    """Open a job: number, route from a template, event, search entry; all or nothing."""
    if motor.merged_into_id is not None:
        raise WorkOrderError(_("This motor was merged into another one. Use that one."), "motor")
    if motor.customer_id != customer.pk:
        raise WorkOrderError(_("This motor belongs to another customer. Change its owner first."), "motor")
    if wrong := past_promise(promised_on, today):
        raise WorkOrderError(wrong, "promised_on")
    route = template or default_template(motor)
    if route is None:
        raise WorkOrderError(
            _("No active route template fits this motor. A lead can make one under Shop policy.")
        )
    job = Job.objects.create(
        number=next_number(today),
        motor=motor,
        customer=customer,
        site=site,
        contact=contact,
        complaint=complaint,
        purchase_order=purchase_order,
        priority=priority,
        promised_on=promised_on,
        opened_by_id=actor.person_id,
        last_person=actor.name,
        last_at=timezone.now(),
    )
    lay_out_route(job=job, template=route)
    index_job(job)
    record_event(
        actor=actor,
        verb="job.opened",
        subject=job,
        job_number=job.number,
        after={"motor": motor.pk, "customer": customer.name, "route": route.name, "complaint": complaint},
    )
    return job


@transaction.atomic
def change_job(*, actor: Actor, job: Job, version: int, **fields: Any) -> Job:
    """Change a job's paperwork, unless somebody changed it since it was shown."""
    unknown = set(fields) - set(CHANGEABLE)
    if unknown:
        raise TypeError(f"not changeable: {sorted(unknown)}")
    job = lock_open_job(job)
    if job.version != version:
        raise StaleVersionError(_("Someone else changed this job. Compare both before you save."))
    before = {name: str(getattr(job, name) or "") for name in fields}
    for name, value in fields.items():
        setattr(job, name, value)
    job.version += 1
    job.full_clean()
    job.save()
    index_job(job)
    after = {name: str(getattr(job, name) or "") for name in fields}
    if after != before:
        record_event(
            actor=actor, verb="job.changed", subject=job, job_number=job.number, before=before, after=after
        )
    return job


@transaction.atomic
def close_job(*, actor: Actor, job: Job, cancelled: bool = False, reason: str = "") -> Job:
    """End a job: closed when all its steps are done, cancelled with a reason at any time. Clocks on it stop."""
    job = lock_open_job(job)
    if cancelled and not reason.strip():
        raise WorkOrderError(_("Enter why the job is canceled."), "reason")
    if not cancelled and job.steps.filter(state="waiting").exists():
        raise WorkOrderError(_("Steps are still open. Do them, or skip them with a reason."))
    if not cancelled:
        refuse_closing(job)
    job.state = Job.State.CANCELLED if cancelled else Job.State.CLOSED
    job.closed_at, job.end_reason = timezone.now(), reason.strip()[:400]
    job.version += 1
    job.save()
    stop_clocks_of_job(actor=actor, job=job)
    record_event(
        actor=actor,
        verb="job.cancelled" if cancelled else "job.closed",
        subject=job,
        job_number=job.number,
        reason=reason,
    )
    refresh_board(job)
    return job
