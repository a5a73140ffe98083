"""A job far enough along for its papers to have something to say. Everything in it is invented."""

from __future__ import annotations

from decimal import Decimal
from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

from repairs.measurements.services import record_reading
from repairs.people.models import User
from repairs.work_orders.judging import judge, shop_limits
from repairs.work_orders.models import Job, JobPhoto, StackRecord, Stage
from repairs.work_orders.services.pictures import add_photos, place_mark
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.stack_approving import accept_finding
from repairs.work_orders.services.stack_signing import sign_record, submit_built
from tests.repairs.factories import (
    actor_for,
    make_customer,
    make_job,
    make_motor,
    make_stack_record,
    make_user,
)
from tests.repairs.signed_stacks import approve


def drawn_photo(number: int, size: tuple[int, int] = (640, 480)) -> SimpleUploadedFile:
    """Return a picture that shows something round, different for each number."""
    picture = Image.new("RGB", size, (168 - 6 * number % 60, 172, 176))
    pen = ImageDraw.Draw(picture)
    width, height = size
    for ring in range(3):
        left, top = width * (0.12 + 0.28 * ring), height * 0.3
        pen.ellipse((left, top, left + width * 0.24, top + height * 0.4), outline=(40, 42, 44), width=9)
    pen.text((8, 8), str(number), fill=(40, 42, 44))
    out = BytesIO()
    picture.save(out, "JPEG", quality=85)
    return SimpleUploadedFile(f"found-{number}.jpg", out.getvalue(), content_type="image/jpeg")


def job_with_found_stack(
    by: User | None = None, *, photos: int = 2, faces: str = "ddu", size: tuple[int, int] = (640, 480)
) -> Job:
    """Return a job whose stack as found is photographed, marked and signed."""
    technician = by or make_user("technician", first_name="Inez", last_name="Marlow")
    customer = make_customer(name=f"Saltgrass Flats Irrigation {technician.pk}")
    job = make_job(make_motor(customer, tag="Well 7", serial="HV-20417"), purchase_order="PO 88-4410")
    record = make_stack_record(job, Stage.AS_FOUND, faces, started_by=technician, top_identified=True)
    actor = actor_for(technician)
    placed = add_photos(
        actor=actor,
        job=job,
        files=[drawn_photo(n, size) for n in range(photos)],
        stack_record=record,
        caption="stack beside the mount, top to the left",
    )
    for n, uid in enumerate(("b1", "b2", "b3")):
        place_mark(actor=actor, job_photo=placed[0], x=0.24 + 0.28 * n, y=0.5, item_uid=uid)
    sign_record(actor=actor, record=record, version=record.version)
    return job


def specify(job: Job, faces: str = "ddu") -> StackRecord:
    """Give a job a specified stack that a lead approved; the narrow speed margin is accepted with a reason."""
    lead = make_user("lead", first_name="Tobias", last_name="Reeve")
    revision = job.stack_records.filter(stage=Stage.SPECIFIED).count() + 1
    record = make_stack_record(job, Stage.SPECIFIED, faces, started_by=lead, revision=revision)

    accept_finding(
        actor=actor_for(lead),
        record=record,
        version=record.version,
        code="speed-margin",
        ref=_ref_of("speed-margin", record),
        reason="fixed line speed, oil cooler fitted, temperature watched in the final run",
    )
    return approve(actor_for(lead), record)


def _ref_of(code: str, record: StackRecord) -> str:
    findings = judge(record, record.job.motor, shop_limits()).assessment.findings
    return next(finding.ref or "" for finding in findings if finding.code == code)


def build(job: Job, faces: str = "ddu", *, photos: int = 1) -> StackRecord:
    """Record a stack as built with photos of its own, and submit it."""
    technician = make_user("technician", first_name="Ruben", last_name="Stahl")
    record = make_stack_record(job, Stage.AS_BUILT, faces, started_by=technician, top_identified=True)
    files = [drawn_photo(70 + n) for n in range(photos)]
    add_photos(actor=actor_for(technician), job=job, files=files, stack_record=record)
    return submit_built(actor=actor_for(technician), record=record, version=record.version)


def measure(job: Job) -> None:
    """Take some readings down: one seat in its three planes, one limit without a source, one failure."""
    actor = actor_for(make_user("technician", first_name="Inez", last_name="Marlow"))
    for plane, value in enumerate(("100.011", "100.012", "100.010"), 1):
        record_reading(
            actor=actor,
            job=job,
            quantity=f"mount, bearings 1 to 3, plane {plane}",
            value=Decimal(value),
            unit="mm",
            limit_low=Decimal("100.003"),
            limit_high=Decimal("100.018"),
            limit_source="ISO 286-2, 100 k5",
        )
    record_reading(
        actor=actor, job=job, quantity="insulation resistance, 1 min", value=Decimal("420"), unit="MΩ",
        limit_low=Decimal("100"), limit_source="",
    )  # fmt: skip
    record_reading(
        actor=actor, job=job, quantity="run-out of the shaft end", value=Decimal("0.09"), unit="mm",
        limit_high=Decimal("0.05"), limit_source="shop default",
    )  # fmt: skip


def walk(job: Job, steps: int) -> None:
    """Sign the first steps off."""
    actor = actor_for(make_user("lead", first_name="Tobias", last_name="Reeve"))
    for step in list(job.steps.order_by("position"))[:steps]:
        sign_off(actor=actor, step=step, note="as told by phone")


def first_photo(job: Job) -> JobPhoto:
    """Return a job's first photo."""
    return job.photos.order_by("id")[0]
