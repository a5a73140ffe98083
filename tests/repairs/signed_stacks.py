"""Stack records on their way to a signature, for tests of what comes after."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.utils import timezone

from repairs.ledger.services import Actor
from repairs.measurements.asked_readings import asked_at
from repairs.measurements.limit_services import enter_limit
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_suggestions import seats_of
from repairs.work_orders.judging import judge, shop_limits
from repairs.work_orders.looks import asked_of
from repairs.work_orders.models import AcceptedFinding, Job, LayOut, StackRecord, Stage
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.laying_out import check_lay_out, lines_to_check
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.second_looks import answer_look
from repairs.work_orders.services.stack_signing import current_specified
from repairs.work_orders.unproven import code_of, unproven_of
from tests.repairs.factories import actor_for, key_photo, make_stack_record, make_user, picture_file
from tests.repairs.measurements.one_figure import take_figure


def with_photo(record: StackRecord) -> StackRecord:
    user = record.started_by
    picture = picture_file(size=(64, 40 + record.revision))
    (place,) = add_photos(actor=actor_for(user), job=record.job, files=[picture], stack_record=record)
    key_photo(place, record)
    record.top_identified = True
    record.save()
    return record


def with_reasons(actor: Actor, record: StackRecord) -> None:
    """Say, as a lead, for every subject that the sparse motors of the tests leave open why the stack is approved.

    The rows are made here: the service judges the stack anew for each, and has tests of its own.
    """
    for subject in unproven_of(judge(record, record.job.motor, shop_limits())):
        AcceptedFinding.objects.create(
            record=record,
            code=code_of(subject),
            reason=f"figures of the pump will follow, {subject}, {record.pk}",
            person_id=actor.person_id,
            person_name=actor.name,
        )


def approve(actor: Actor, record: StackRecord) -> StackRecord:
    """Approve a specified stack though its figures are sparse."""
    with_reasons(actor, record)
    return approving.approve_specified(actor=actor, record=record, version=record.version)


def approved(job: Job, faces: str = "ddu") -> StackRecord:
    return approve(actor_for(make_user("lead")), make_stack_record(job, Stage.SPECIFIED, faces))


def built(job: Job, faces: str, by: Any = None) -> StackRecord:
    user = by or make_user()
    record = with_photo(make_stack_record(job, Stage.AS_BUILT, faces, started_by=user, revision=_next(job)))
    return signing.submit_built(actor=actor_for(user), record=record, version=record.version)


def _next(job: Job) -> int:
    return job.stack_records.filter(stage=Stage.AS_BUILT).count() + 1


def laid_out(job: Job, by: Any = None) -> LayOut:
    """Lay the specified stack out as it is specified, and look at every part."""
    specified = current_specified(job)
    assert specified is not None
    seen = {}
    for line in lines_to_check(specified):
        seen |= {
            f"lies-{line['uid']}": "yes",
            f"face-{line['uid']}": line["face"],
            f"mark-{line['uid']}": line["mark"],
        }
    actor = actor_for(by or make_user())
    return check_lay_out(actor=actor, job=job, seen_revision=specified.revision, seen=seen)


def looked_at(record: StackRecord, by: Any, faces: str = "ddu") -> None:
    """Answer for each bearing of a stack as built, as the second person, from the photo of that build."""
    words = {"d": "down", "u": "up", "?": "cannot_see"}
    photo = record.photos.filter(withdrawn_at__isnull=True).first()
    for (_ref, uid), face in zip(asked_of(record), faces, strict=True):
        answer_look(actor=actor_for(by), record=record, uid=uid, face=words[face], photo=photo)


POINTS = ("vib_top_0", "vib_top_90", "vib_top_axial", "vib_low_0", "vib_low_90")
# Invented limits of an invented shop: reading, unit, at least, at most.
SHOP_LIMITS = (
    ("end_play", "mm", None, "0.25"),
    ("runout", "mm", None, "0.08"),
    ("insulation", "MΩ", "5", None),
    *((point, "mm/s rms", None, "1.8") for point in POINTS),
)
GOOD = {"end_play": "0.18", "runout": "0.03", "insulation": "400"}


def limits_of_the_shop(by: Any = None) -> None:
    """Enter a limit for everything that the gates ask for."""
    lead = actor_for(by or make_user("lead"))
    for asked, unit, low, high in SHOP_LIMITS:
        enter_limit(
            actor=lead, job=None, asked=asked, unit=unit, source="shop sheet 4",
            low=Decimal(low) if low else None, high=Decimal(high) if high else None,
        )  # fmt: skip


def measured(job: Job, kind: str, by: Any = None, **values: str) -> None:
    """Take every reading of a step's list, each within the shop's limits where no other value is given."""
    step = job.steps.get(kind=kind)
    units = {asked: unit for asked, unit, _low, _high in SHOP_LIMITS}
    actor = actor_for(by or make_user())
    for one in asked_at(kind):
        value = values.get(one.code, GOOD.get(one.code, "1.1"))
        take_figure(
            actor=actor, job=job, step=step, asked=one.code, value=Decimal(value), unit=units[one.code]
        )


def seats_measured(job: Job, by: Any = None) -> None:
    """Measure every seat of the specified stack, each good."""
    specified = current_specified(job)
    assert specified is not None
    user = by or make_user()
    SeatRecord.objects.bulk_create(
        SeatRecord(
            job=job, moment="as_left", place=seat.place, bearing_ref=seat.bearing["ref"], nominal_mm=seat.nominal_mm,
            limits_from="drawing", unit="mm", verdict="pass", person=user, person_name=str(user),
            signed_at=timezone.now(), signed_name=str(user),
        )
        for seat in seats_of(specified)
    )  # fmt: skip
