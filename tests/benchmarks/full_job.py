"""Give one job everything that its page can show: signatures, three stages, photos with marks, readings, notes."""

from __future__ import annotations

from decimal import Decimal

from django.utils import timezone

from repairs.measurements.models import Reading
from repairs.people.models import User
from repairs.photos.models import Mark, Photo
from repairs.work_orders.models import HandOver, Job, JobPhoto, SignOff, StackRecord, Stage
from tests.repairs.factories import triple_items

PHOTOS, READINGS = 6, 12


def fill_job(job: Job, by: User) -> None:
    """Write the rows that belong to a job half-way through the shop."""
    now = timezone.now()
    done = job.steps.filter(state="done")
    SignOff.objects.bulk_create(SignOff(step=step, person=by, person_name=str(by)) for step in done)
    records = [
        StackRecord.objects.create(job=job, stage=stage, items=triple_items(), started_by=by, state="signed",
                                   signed_at=now, signed_by=by)
        for stage in Stage
    ]  # fmt: skip
    for n in range(PHOTOS):
        photo = Photo.objects.create(
            sha256=f"{n:064d}", original="a", print_size="b", thumbnail="c", width=1200, height=900,
            caption=f"stack beside the mount {n}", uploaded_by=by,
        )  # fmt: skip
        JobPhoto.objects.create(job=job, stack_record=records[0], photo=photo)
        Mark.objects.bulk_create(Mark(photo=photo, item_uid=f"b{k}", x=0.2 * k, y=0.5) for k in range(1, 4))
    Reading.objects.bulk_create(
        Reading(job=job, quantity=f"seat {n}", value=Decimal("100.013"), unit="mm", verdict="pass", person=by,
                person_name=str(by), limit_low=Decimal("100.003"), limit_high=Decimal("100.018"))
        for n in range(READINGS)
    )  # fmt: skip
    HandOver.objects.create(job=job, written_by=by, done="Rotor stands on stand 2.", danger="heater is hot")
