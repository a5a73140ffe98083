"""Walk a job of the invented shop from the specified stack to the gate, by the same services as a shop would."""

from __future__ import annotations

from decimal import Decimal

from repairs.management.shop.opened import Opened
from repairs.management.shop.pictures import stack_picture
from repairs.measurements.services import record_reading
from repairs.work_orders.looks import asked_of
from repairs.work_orders.models import Stage, Step, StepKind
from repairs.work_orders.services.laying_out import check_lay_out, lines_to_check
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.second_looks import answer_look
from repairs.work_orders.services.stack_signing import current_specified, submit_built


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
    record_reading(
        actor=actor, job=job, step=end_play, moment="as_left", quantity="End play", value=Decimal("0.18"),
        unit="mm", limit_high=Decimal("0.25"), limit_source="plate",
    )  # fmt: skip
    record_reading(
        actor=actor, job=job, step=final, moment="as_left", quantity="Vibration", value=Decimal("1.1"),
        unit="mm/s", limit_high=Decimal("1.8"), limit_source="shop default",
    )  # fmt: skip
    for step in job.steps.filter(state=Step.State.WAITING).order_by("position"):
        sign_off(actor=actor, step=step)
