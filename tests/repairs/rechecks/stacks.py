"""Signed stacks that rest on a book of two editions. Makers and figures are invented."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.utils import timezone

from bearings.models import Rating, Source
from bearings.public import rating_as_bearing
from repairs.motors.models import Motor
from repairs.people.models import User
from repairs.work_orders.judging import judge, shop_limits, store_assessment
from repairs.work_orders.models import Job, StackRecord, Stage
from tests.repairs.factories import (
    bearing_item,
    make_customer,
    make_job,
    make_motor,
    make_rating,
    make_source,
    make_user,
    triple_items,
)

SPEED = 2700.0


def edition(year: int) -> Source:
    return make_source(edition=str(year), published_on=date(year, 3, 1))


def printed(source: Source, speed: float | None = SPEED, **more: Any) -> Rating:
    """Enter the bearing of the triple, as a source prints it."""
    figures = {
        "contact_angle_deg": 40.0,
        "dynamic_rating_n": 216000.0,
        "static_rating_n": 208000.0,
        "ball_count": 13,
        "ball_diameter_mm": 34.925,
        **({"limiting_speed_rpm": speed} if speed else {}),
    }
    return make_rating(source, **{"designation": "7320 X", "variant": "C3", "figures": figures, **more})


def items_from(rating: Rating | None, faces: str = "ddu") -> list[dict[str, Any]]:
    """Return the triple, its bearings copied from a rating where one is given."""
    items = triple_items(faces)
    if rating is None:
        return items
    for entry in items:
        data = entry["data"]
        if data["kind"] == "bearing":
            own = {name: data[name] for name in ("wide_face", "mark", "pair_preload_n")}
            entry["data"], entry["rating_id"] = {**rating_as_bearing(rating), **own}, rating.pk
    return items


def signed(
    job: Job,
    stage: str = Stage.SPECIFIED,
    rating: Rating | None = None,
    by: User | None = None,
    **fields: Any,
) -> StackRecord:
    """Make a signed record with the answer of this moment, short of the services that lead to it."""
    person = by or make_user("lead")
    record = StackRecord(
        job=job,
        stage=stage,
        items=fields.pop("items", None) or items_from(rating),
        started_by=person,
        state=StackRecord.State.SIGNED,
        signed_at=timezone.now(),
        signed_by=person,
        **fields,
    )
    record.assessment = store_assessment(judge(record, job.motor, shop_limits()))
    record.save()
    return record


def in_service(motor: Motor | None = None, rating: Rating | None = None) -> StackRecord:
    """Make a motor that left the shop with a stack signed as built."""
    job = make_job(motor or make_motor(make_customer()))
    record = signed(job, Stage.AS_BUILT, rating)
    closed(job)
    return record


def closed(job: Job, state: str = Job.State.CLOSED) -> None:
    Job.objects.filter(pk=job.pk).update(state=state, closed_at=timezone.now())


__all__ = ["SPEED", "bearing_item", "closed", "edition", "in_service", "items_from", "printed", "signed"]
