"""Time on a step, parts taken off and put in, outside services, cautions read."""

from __future__ import annotations

import hashlib
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Final

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone, translation
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.cautions import cautions_for
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import AnothersEntryError, StaleVersionError, WorkOrderError
from repairs.work_orders.models import (
    CautionRead,
    Job,
    OutsideService,
    Step,
    StrippedPart,
    UsedPart,
    WorkPeriod,
)
from repairs.work_orders.open_job import lock_open_job

# Beyond this a period that was never stopped is somebody's forgotten clock, not work.
LONGEST_WORK: Final = timedelta(hours=14)
# Signal words whose cautions are read before a step is signed; a notice is information.
READ_FIRST: Final = frozenset({"danger", "warning", "caution"})


def _moment(actor: Actor) -> datetime:
    """Return when the clock was pressed: on a tablet without network by the tablet's own time, within a day's work."""
    now = timezone.now()
    pressed = parse_datetime(actor.made_at) if actor.made_at else None
    return pressed if pressed is not None and now - LONGEST_WORK < pressed < now else now


def _checked(row: models.Model) -> None:
    """Refuse a row with the first field that is wrong, in words."""
    try:
        row.full_clean(validate_constraints=False)
    except ValidationError as error:
        name, texts = next(iter(error.message_dict.items()))
        raise WorkOrderError(" ".join(texts), None if name == "__all__" else name) from error


@transaction.atomic
def start_work(*, actor: Actor, step: Step) -> WorkPeriod:
    """Start the clock of a person on a step; where it runs on another one, it is stopped there first."""
    lock_open_job(step.job_id)
    step = Step.objects.select_related("job").get(pk=step.pk)
    if step.state != Step.State.WAITING:
        raise WorkOrderError(_("This step was already signed off or skipped."))
    running = WorkPeriod.objects.select_for_update().running().filter(person_id=actor.person_id).first()
    if running is not None:
        if running.step_id == step.pk:
            return running
        _stop(actor, running, "")
    now = _moment(actor)
    period = WorkPeriod.objects.create(
        step=step, person_id=actor.person_id, person_name=actor.name, started_at=now
    )
    if step.started_at is None:
        Step.objects.filter(pk=step.pk, started_at__isnull=True).update(started_at=now)
    record_event(
        actor=actor,
        verb="work.started",
        subject=period,
        job_number=step.job.number,
        after={"step": step.title},
    )
    return period


@transaction.atomic
def stop_work(*, actor: Actor, period: WorkPeriod, note: str = "") -> WorkPeriod:
    """Stop one's own clock."""
    now = WorkPeriod.objects.select_for_update().select_related("step__job").get(pk=period.pk)
    if now.person_id != actor.user_id:
        raise WorkOrderError(_("Only the person who is clocked in can clock out."))
    if now.ended_at is not None:
        return now
    lock_open_job(now.step.job_id)
    return _stop(actor, now, note)


def stop_clocks(*, actor: Actor, step: Step) -> None:
    """Stop every clock that runs on a step, because the step is done."""
    for period in WorkPeriod.objects.running().select_related("step__job").filter(step=step):
        _stop(actor, period, period.note)


def stop_clocks_of_job(*, actor: Actor, job: Job) -> None:
    """Stop every clock that runs on a job, because the job ends."""
    for period in WorkPeriod.objects.running().select_related("step__job").filter(step__job=job):
        _stop(actor, period, period.note)


def _stop(actor: Actor, period: WorkPeriod, note: str) -> WorkPeriod:
    ended = max(_moment(actor), period.started_at)
    if ended - period.started_at > LONGEST_WORK:
        ended = period.started_at
        note = _("forgot to clock out, no time counted; {note}").format(note=note).rstrip("; ")
    period.ended_at, period.note = ended, note.strip()[:200]
    period.save(update_fields=["ended_at", "note"])
    record_event(
        actor=actor,
        verb="work.stopped",
        subject=period,
        job_number=period.step.job.number,
        after={"step": period.step.title, "minutes": round((ended - period.started_at).total_seconds() / 60)},
    )
    return period


PART_FIELDS: Final = ("name", "tag", "place", "disposition", "note")


@transaction.atomic
def list_part(*, actor: Actor, job: Job, step: Step | None = None, **fields: str) -> StrippedPart:
    """Put a part that came off the motor on the job's list."""
    part = StrippedPart(job=lock_open_job(job), step=step, **_part_fields(fields))
    _checked(part)
    if note_origin(part, actor=actor, step=step) and step is not None:
        tell_signers(actor=actor, step=step, words=_("Part taken off: {name}").format(name=part.name))
    part.save()
    record_event(
        actor=actor,
        verb="part.listed",
        subject=part,
        job_number=part.job.number,
        after={name: getattr(part, name) for name in PART_FIELDS},
    )
    return part


@transaction.atomic
def change_part(*, actor: Actor, part: StrippedPart, version: int, **fields: str) -> StrippedPart:
    """Say where a part lies and what becomes of it, unless somebody said so since it was shown."""
    lock_open_job(part.job_id)
    now = StrippedPart.objects.select_for_update().select_related("job").get(pk=part.pk)
    if now.version != version:
        raise StaleVersionError(_("Someone else changed this part. Check it before you save."))
    before = {name: getattr(now, name) for name in PART_FIELDS}
    for name, value in _part_fields(fields).items():
        setattr(now, name, value)
    now.version += 1
    _checked(now)
    now.save()
    after = {name: getattr(now, name) for name in PART_FIELDS}
    if after != before:
        record_event(
            actor=actor,
            verb="part.changed",
            subject=now,
            job_number=now.job.number,
            before=before,
            after=after,
        )
    return now


def _part_fields(fields: dict[str, str]) -> dict[str, str]:
    if unknown := set(fields) - set(PART_FIELDS):
        raise TypeError(f"not a field of a part: {sorted(unknown)}")
    return {name: value.strip() for name, value in fields.items()}


@transaction.atomic
def use_part(
    *,
    actor: Actor,
    job: Job,
    name: str,
    quantity: Decimal,
    unit: str = "pc",
    designation: str = "",
    step: Step | None = None,
) -> UsedPart:
    """Write down a new part or material that goes into the motor."""
    part = UsedPart(
        job=lock_open_job(job),
        step=step,
        name=name.strip(),
        designation=designation.strip(),
        quantity=quantity,
        unit=unit.strip() or "pc",
        person_id=actor.person_id,
        person_name=actor.name,
    )
    _checked(part)
    if note_origin(part, actor=actor, step=step) and step is not None:
        tell_signers(actor=actor, step=step, words=_("Part used: {name}").format(name=part.name))
    part.save()
    record_event(
        actor=actor,
        verb="part.used",
        subject=part,
        job_number=part.job.number,
        after={
            "name": part.name,
            "designation": part.designation,
            "amount": str(quantity),
            "unit": part.unit,
        },
    )
    return part


@transaction.atomic
def take_back_part(*, actor: Actor, part: UsedPart, confirmed: int | None = None) -> UsedPart:
    """Take off a part that was entered by mistake; the line stays readable.

    Another person's goes after whoever takes it off was told whose it is: ``confirmed`` is the line's key.
    """
    lock_open_job(part.job_id)
    now = UsedPart.objects.select_for_update().select_related("job").get(pk=part.pk)
    if now.person_id != actor.user_id and confirmed != now.pk:
        words = _("{person} entered “{name}”. Press again to remove it.")
        raise AnothersEntryError(words.format(person=now.person_name, name=now.name), now.pk)
    if now.withdrawn_at is None:
        now.withdrawn_at = timezone.now()
        now.save(update_fields=["withdrawn_at"])
        record_event(
            actor=actor,
            verb="part.taken_back",
            subject=now,
            job_number=now.job.number,
            before={"name": now.name, "amount": str(now.quantity), "person": now.person_name},
        )
    return now


SERVICE_FIELDS: Final = ("what", "sent_to", "reference", "sent_on", "due_on", "back_on", "result")


@transaction.atomic
def send_out(
    *,
    actor: Actor,
    job: Job,
    what: str,
    sent_to: str,
    sent_on: date,
    due_on: date | None = None,
    reference: str = "",
) -> OutsideService:
    """Write down work that another shop does."""
    service = OutsideService(
        job=lock_open_job(job),
        what=what.strip(),
        sent_to=sent_to.strip(),
        reference=reference.strip(),
        sent_on=sent_on,
        due_on=due_on,
    )
    if due_on is not None and due_on < sent_on:
        raise WorkOrderError(_("The due date is before the sent date. Enter a later one."), "due_on")
    _checked(service)
    service.save()
    record_event(
        actor=actor,
        verb="service.sent",
        subject=service,
        job_number=service.job.number,
        after=_told(service),
    )
    return service


@transaction.atomic
def came_back(
    *, actor: Actor, service: OutsideService, version: int, back_on: date, result: str = ""
) -> OutsideService:
    """Write down that outside work came back, and what the other shop reports."""
    lock_open_job(service.job_id)
    now = OutsideService.objects.select_for_update().select_related("job").get(pk=service.pk)
    if now.version != version:
        raise StaleVersionError(_("Someone else changed this line. Check it before you save."))
    if back_on < now.sent_on:
        raise WorkOrderError(_("The return date is before the sent date. Enter a later one."), "back_on")
    before = _told(now)
    now.back_on, now.result, now.version = back_on, result.strip(), version + 1
    _checked(now)
    now.save()
    record_event(
        actor=actor,
        verb="service.back",
        subject=now,
        job_number=now.job.number,
        before=before,
        after=_told(now),
    )
    return now


def _told(service: OutsideService) -> dict[str, object]:
    values = {name: getattr(service, name) for name in SERVICE_FIELDS}
    return {
        "name": service.what,
        **{name: value.isoformat() if isinstance(value, date) else value for name, value in values.items()},
    }


def wording_of(kind: str) -> str:
    """Return a digest of the cautions of a kind of step: with other words they are read again."""
    with translation.override("en"):
        words = "|".join(f"{one.signal}:{one.text}" for one in cautions_for(kind))
    return hashlib.sha256(words.encode()).hexdigest()[:16]


def cautions_to_read(*, job: Job, kind: str, person_id: int | None) -> bool:
    """Whether this person has still to read the cautions of a kind of step for a job."""
    if not any(one.signal in READ_FIRST for one in cautions_for(kind)):
        return False
    read = CautionRead.objects.filter(job=job, person_id=person_id, step_kind=kind, wording=wording_of(kind))
    return not read.exists()


@transaction.atomic
def read_cautions(*, actor: Actor, job: Job, kind: str) -> CautionRead:
    """Keep that a person read the cautions of a kind of step; twice is once."""
    job = lock_open_job(job)
    row, new = CautionRead.objects.get_or_create(
        job=job, person_id=actor.person_id, step_kind=kind, wording=wording_of(kind)
    )
    if new:
        record_event(
            actor=actor,
            verb="cautions.read",
            subject=row,
            job_number=job.number,
            after={"step": kind, "wording": row.wording},
        )
    return row
