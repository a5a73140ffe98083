"""Walk a job of the invented shop from the specified stack to the gate, by the same services as a shop would."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Final

from django.utils import timezone

from repairs.ledger.services import Actor
from repairs.management.shop.opened import Opened
from repairs.management.shop.pictures import stack_picture
from repairs.management.shop.seats import measure_good_seats
from repairs.measurements.asked_readings import asked_at
from repairs.measurements.limit_services import enter_limit
from repairs.measurements.services import record_asked_reading
from repairs.measurements.shop_tests.shop_services import enter_settings, keep_instrument
from repairs.work_orders.looks import asked_of
from repairs.work_orders.models import Stage, Step, StepKind
from repairs.work_orders.services.laying_out import check_lay_out, lines_to_check
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.second_looks import answer_look
from repairs.work_orders.services.stack_signing import current_specified, submit_built

VIBRATION: Final = ("vib_top_0", "vib_top_90", "vib_top_axial", "vib_low_0", "vib_low_90")
# What the invented shop measures on a good motor, and the limits of its policy: invented figures.
READ: Final = {
    "end_play": ("in", "0.006"),
    "runout": ("in", "0.001"),
    "insulation": ("MΩ", "410"),
    **dict.fromkeys(VIBRATION, ("in/s pk", "0.06")),
}

# What the invented shop holds its tests to, and what it measures with: tag, name, days until calibration is due.
RULES: Final = {
    "insulation.method": "ten_degree",
    "balance.method": "grade",
    "balance.grade_mm_s": "2.5",
    "shaft_runout.rule": "nema",
}
INSTRUMENTS: Final = (
    ("MEG-2", "insulation tester, 5 kV", 140),
    ("VIB-1", "vibration meter", 61),
    ("DI-7", "dial indicator, 0.0005 in", -12),
    ("MIC-4", "micrometer, 4 to 5 in", 200),
)


def write_limits(lead: Actor) -> None:
    """Enter the shop's limits that no plate and no standard gives, the rules of its tests, its instruments."""
    source = "shop sheet 4 (invented)"
    enter_limit(actor=lead, job=None, asked="runout", unit="in", high=Decimal("0.002"), source=source)
    enter_limit(actor=lead, job=None, asked="end_play", unit="in", high=Decimal("0.010"), source=source)
    for point in VIBRATION:
        enter_limit(actor=lead, job=None, asked=point, unit="in/s pk", high=Decimal("0.12"), source=source)
    enter_settings(actor=lead, job=None, values=RULES)
    for tag, name, due in INSTRUMENTS:
        day = timezone.localdate() + timedelta(days=due)
        keep_instrument(actor=lead, instrument=None, version=0, tag=tag, name=name, calibration_due=day)


def lay_out_dry(work: Opened) -> None:
    """Lay the specified stack out beside the mount, look at every part, photograph it and sign."""
    actor, step = work.actors["tech1"], work.job.steps.get(kind=StepKind.LAY_OUT)
    specified = current_specified(work.job)
    assert specified is not None
    add_photos(
        actor=actor, job=work.job, files=[stack_picture("laid-out.jpg")], step=step,
        caption="laid out dry beside the mount",
    )  # fmt: skip
    seen: dict[str, str] = {}
    for line in lines_to_check(specified):
        seen |= {
            f"lies-{line['uid']}": "yes",
            f"face-{line['uid']}": line["face"],
            f"mark-{line['uid']}": line["mark"],
        }
    check_lay_out(actor=actor, job=work.job, seen_revision=specified.revision, seen=seen)
    sign_off(actor=actor, step=step)


def build(work: Opened, faces: str, rating: str) -> None:
    """Mount and record by one technician, looked at by another, bearing by bearing, from the photo of the build."""
    specified = current_specified(work.job)
    assert specified is not None
    measure_good_seats(work.actors["tech1"], work.job, specified)
    builder, second = work.actors["tech1"], work.actors["tech2"]
    record = work.record(Stage.AS_BUILT, faces, rating, "tech1")
    work.photograph(record, faces, "tech1", "on the mount, before the cap")
    record = submit_built(actor=builder, record=record, version=record.version)
    sign_off(actor=builder, step=work.job.steps.get(kind=StepKind.MOUNT))
    photo = record.photos.first()
    recorded = {entry["uid"]: entry["data"].get("wide_face", "") for entry in record.items}
    for _ref, uid in asked_of(record):
        answer_look(actor=second, record=record, uid=uid, face=recorded[uid], photo=photo)
    sign_off(actor=second, step=work.job.steps.get(kind=StepKind.SECOND_PERSON), signed_as="second")


def test_and_ship(work: Opened) -> None:
    """Set the end play, run the motor, sign to the end."""
    actor, job = work.actors["tech2"], work.job
    end_play, final = (job.steps.get(kind=kind) for kind in (StepKind.END_PLAY, StepKind.FINAL_TEST))
    for step in (end_play, final):
        for one in asked_at(step.kind):
            unit, value = READ[one.code]
            record_asked_reading(
                actor=actor, job=job, step=step, asked=one.code, value=Decimal(value), unit=unit
            )
    for step in job.steps.filter(state=Step.State.WAITING).order_by("position"):
        sign_off(actor=actor, step=step)
