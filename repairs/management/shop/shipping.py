"""Walk a job of the invented shop from the specified stack to the gate, by the same services as a shop would."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal
from typing import Final

from django.utils import timezone

from repairs.ledger.services import Actor
from repairs.management.shop.opened import Opened
from repairs.management.shop.pictures import stack_picture
from repairs.management.shop.seats import measure_good_seats
from repairs.measurements.engineering.shape import Value
from repairs.measurements.limit_services import enter_limit
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.measurements.shop_tests.shop_services import enter_settings, keep_instrument
from repairs.work_orders.looks import asked_of
from repairs.work_orders.models import Stage, Step, StepKind
from repairs.work_orders.services.laying_out import check_lay_out, lines_to_check
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.second_looks import answer_look
from repairs.work_orders.services.stack_signing import current_specified, submit_built

VIBRATION: Final = ("vib_top_0", "vib_top_90", "vib_top_axial", "vib_low_0", "vib_low_90")
# What the invented shop measures on a good motor, in canonical units: invented figures.
MEASURED: Final[Mapping[str, Mapping[str, Mapping[str, Value]]]] = {
    StepKind.END_PLAY: {
        "end_play": {"load_down_n": 2000.0, "load_up_n": 9000.0, "down_1": 0.0, "up_1": 0.1524},
        "shaft_runout": {"shaft_diameter_mm": 53.975, "shaft_tir": 0.0254},
    },
    StepKind.FINAL_TEST: {
        "insulation": {"test_voltage_v": 500.0, "winding_c": 25.0, "r_1min": 1160.0, "r_10min": 3400.0},
        "no_load": {"v_ab": 461.0, "v_bc": 459.0, "v_ca": 460.0, "i_a": 48.0, "i_b": 48.7, "i_c": 47.6, "rpm": 1199.0},
        "vibration": {"run_rpm": 1199.0, "uncoupled": "yes", **dict.fromkeys(VIBRATION, 1.08)},
        "run_temperatures": {
            "top_kind": "rolling", "bottom_kind": "rolling", "uncoupled": "yes", "stopped": "completed",
            "temperatures": tuple(
                (15.0 * at, 24.0, 44.0 - 20.0 * 0.5**at, 38.0 - 14.0 * 0.5**at, 52.0 - 28.0 * 0.5**at, None)
                for at in range(9)
            ),
        },
        "shaft_voltage": {"supply": "sine", "read_as": "peak", "insulated": "no", "shaft_v": 0.11},
    },
}  # fmt: skip
INSTRUMENT_OF: Final = {
    "insulation": "MEG-2",
    "vibration": "VIB-1",
    "end_play": "DI-7",
    "shaft_runout": "DI-7",
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
    for kind, tests in MEASURED.items():
        for test, values in tests.items():
            entry = TestEntry(test=test, values=values, instrument=INSTRUMENT_OF.get(test, ""))
            record_test(actor=actor, job=job, step=job.steps.get(kind=kind), entry=entry)
    for step in job.steps.filter(state=Step.State.WAITING).order_by("position"):
        sign_off(actor=actor, step=step)
