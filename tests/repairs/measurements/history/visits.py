"""A motor that came back: its visits, and rows on them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.utils import timezone

from repairs.measurements.models import Observation, Reading
from repairs.measurements.observations.services import ObservationEntry, record_observation
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, StackRecord, Stage
from tests.repairs.factories import actor_for, make_job, make_motor, make_stack_record, make_user


def end(job: Job) -> None:
    Job.objects.filter(pk=job.pk).update(state=Job.State.CLOSED, closed_at=timezone.now())


def reopen(job: Job) -> None:
    Job.objects.filter(pk=job.pk).update(state=Job.State.OPEN, closed_at=None)


def visits(count: int, motor: Motor | None = None) -> list[Job]:
    """Return jobs of one motor; all but the last have ended."""
    motor = motor or make_motor()
    jobs = [make_job(motor) for _n in range(count)]
    for job in jobs[:-1]:
        end(job)
    return jobs


def read(job: Job, asked: str, value: str, unit: str = "MΩ", verdict: str = "pass", **more: Any) -> Reading:
    by = make_user()
    fields: dict[str, Any] = {"moment": "as_left", "quantity": asked, "person": by, "person_name": str(by)}
    limits = {name: Decimal(more.pop(name)) for name in ("limit_low", "limit_high") if name in more}
    return Reading.objects.create(
        job=job, asked=asked, value=Decimal(value), unit=unit, verdict=verdict, **{**fields, **limits, **more}
    )


def see(job: Job, mode: str = "5.1.2", part: str = "b1") -> Observation:
    """Note damage on a bearing of the stack as found; an ended job takes none and is opened for the moment."""
    ended = Job.objects.get(pk=job.pk).state == Job.State.CLOSED
    reopen(job)
    if not job.stack_records.filter(stage=Stage.AS_FOUND).exists():
        make_stack_record(job, Stage.AS_FOUND)
    element = "" if mode == "none" else "inner"
    entry = ObservationEntry(part=part, mode=mode, element=element, confidence="certain")
    row = record_observation(actor=actor_for(make_user()), job=job, entry=entry)
    if ended:
        end(job)
    return row


def signed(job: Job, stage: str, faces: str = "ddu", **fields: Any) -> StackRecord:
    return make_stack_record(
        job, stage, faces, state="signed", signed_at=timezone.now(), signed_by=make_user(), **fields
    )
