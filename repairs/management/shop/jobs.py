"""Jobs of the invented shop, each at another place of its route."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from repairs.ledger.services import Actor
from repairs.management.shop.damage import see_damage_of_well7
from repairs.management.shop.opened import FLANGE, INSIDE, Opened, Ratings
from repairs.management.shop.seats import measure_seats, measure_worn_housing
from repairs.management.shop.shipping import lay_out_dry
from repairs.measurements.services import record_reading
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, RouteTemplate, Stage, StepKind
from repairs.work_orders.services.holds import hold_job, write_hand_over
from repairs.work_orders.services.opening import change_job, open_job
from repairs.work_orders.services.stack_approving import specify_as_proposed
from repairs.work_orders.services.stack_editing import (
    add_item,
    item_from_rating,
    save_guide,
    start_record,
)
from repairs.work_orders.services.stack_signing import sign_record, submit_built
from repairs.work_orders.services.work import came_back, list_part, send_out, start_work, use_part

SPRINGS = {"spring_force_n": 4200, "spring_rate_n_per_mm": 2600, "spring_travel_mm": 2.5}
# Below the rotor of the booster: locked to the shaft, so that it holds the springs.
LOWER_GUIDE = {
    "type": "deep_groove_ball",
    "carries": "up",
    "end_play_um": 0,
    "designation": "6318",
    "bore_mm": 90,
    "outside_diameter_mm": 190,
    "height_mm": 43,
    "dynamic_rating_n": 143000,
    "static_rating_n": 107000,
    "limiting_speed_rpm": 5000,
    "grease_speed_rpm": 4200,
    "lubricant": "grease",
    "guide_temperature_c": 72,
    "distance_mm": 1450,
    "cage_material": "brass",
    "stabilised_to_c": 150,
    "note": "lower guide, locked to the shaft",
}


def open_jobs(
    actors: dict[str, Actor], motors: dict[str, Motor], ratings: Ratings, templates: dict[str, RouteTemplate]
) -> None:
    """Open the jobs and walk each as far as the demo shows it."""
    today = timezone.localdate()
    vertical = templates["Vertical motor, thrust bearings"]

    def opened(
        key: str, complaint: str, days: int, template: RouteTemplate = vertical, **more: Any
    ) -> Opened:
        motor = motors[key]
        job = open_job(
            actor=actors["office"],
            motor=motor,
            customer=motor.customer,
            site=motor.site,
            complaint=complaint,
            today=today,
            promised_on=today + timedelta(days=days),
            template=template,
            **more,
        )
        return Opened(job, actors, ratings)

    _well7(opened("well7", "Growls when the pump starts, top runs hot.", 2, purchase_order="88-4410"))
    _well5(opened("well5", "Bearing temperature alarm every afternoon.", 4, purchase_order="88-4415"))
    _well3(opened("well3", "Shaft dropped; pump impellers rub.", 1, priority="breakdown"))
    _booster(opened("booster4", "Thrust bearing replaced twice in a year.", 6))
    opened("sump", "Will not turn by hand.", 8)
    fan = opened("fan2", "Vibrates at the drive end.", 5, templates["Horizontal motor"])
    fan.sign_until(StepKind.INCOMING_TEST)


def _well7(work: Opened) -> None:
    """Two down and one up as specified; built with the second bearing turned over by mistake."""
    found = work.record(Stage.AS_FOUND, "ddu", "7320 A 2019", "tech1")
    work.photograph(found, "ddu", "tech1", "stack beside the mount, top left")
    sign_record(actor=work.actors["tech1"], record=found, version=found.version)
    measure_seats(work.actors["tech1"], work.job, found)
    record_reading(
        actor=work.actors["tech1"],
        job=work.job,
        quantity="Insulation resistance, 1 minute, corrected to 40 °C",
        value=Decimal("412"),
        unit="MΩ",
        limit_low=Decimal("5"),
        limit_source="IEEE 43-2013, random wound; from memory, unverified",
        instrument="tester 3",
    )
    record_reading(
        actor=work.actors["tech1"],
        job=work.job,
        quantity="End play as found",
        value=Decimal("0.012"),
        unit="in",
        note="dial gauge on the shaft end",
    )
    proposal = work.propose("ddu", "7320 A 2019")
    see_damage_of_well7(work, found)
    _parts_of_well7(work)
    work.sign_until(StepKind.SPECIFY)
    specify_as_proposed(actor=work.actors["lead"], proposal=proposal)
    work.sign_until(StepKind.LAY_OUT, by="lead")
    lay_out_dry(work)
    built = work.record(Stage.AS_BUILT, "duu", "7320 A 2019", "tech1")
    work.photograph(built, "duu", "tech1", "on the mount, before the cap")
    submit_built(actor=work.actors["tech1"], record=built, version=built.version)


def _parts_of_well7(work: Opened) -> None:
    """What came off, what went in, what another shop did."""
    actor, job = work.actors["tech1"], work.job
    list_part(actor=actor, job=job, name="Thrust bearings, three", tag="0001-A", place="shelf 4, bag 2",
              disposition="replace", note="kept for failure analysis")  # fmt: skip
    list_part(
        actor=actor,
        job=job,
        name="Ratchet, pins and plate",
        tag="0001-B",
        place="cart 3",
        disposition="reuse",
    )
    list_part(actor=actor, job=job, name="Oil stand tube", tag="0001-C", place="cart 3")
    use_part(actor=actor, job=job, name="7320", designation="matched set S-118", quantity=Decimal(3))
    use_part(actor=actor, job=job, name="Turbine oil VG 150", quantity=Decimal("9.5"), unit="qt")
    sent = timezone.localdate() - timedelta(days=5)
    spray = send_out(actor=actor, job=job, what="Metal spray of mount seat", sent_to="Spray shop (invented)",
                     sent_on=sent, due_on=sent + timedelta(days=4))  # fmt: skip
    came_back(
        actor=actor, service=spray, version=1, back_on=sent + timedelta(days=3), result="seat 100 k5, ground"
    )
    start_work(actor=actor, step=job.steps.get(kind=StepKind.MOUNT))


def _well5(work: Opened) -> None:
    """The same size from another book: too slow for the motor, so the lead cannot approve it."""
    found = work.record(Stage.AS_FOUND, "ddu", "7320 A 2024", "tech2")
    work.photograph(found, "ddu", "tech2", "stack as it came off")
    sign_record(actor=work.actors["tech2"], record=found, version=found.version)
    measure_worn_housing(work.actors["tech2"], work.job, found)
    work.propose("ddu", "7320 A 2024")
    work.sign_until(StepKind.SPECIFY, by="tech2")
    work.record(Stage.SPECIFIED, "ddu", "7320 B 7", "engineer", reason="only ones available in time")


def _well3(work: Opened) -> None:
    """Late, and waiting for the customer's word."""
    found = work.record(Stage.AS_FOUND, "dd", "7326 A 2019", "tech2")
    work.photograph(found, "dd", "tech2", "two in tandem, none opposed")
    sign_record(actor=work.actors["tech2"], record=found, version=found.version)
    work.propose("dd", "7326 A 2019")
    work.sign_until(StepKind.APPROVAL, by="tech2")
    hold_job(
        actor=work.actors["office"],
        job=work.job,
        waits_for="customer",
        reason="estimate sent; customer wants a price with a third bearing",
    )
    yesterday = timezone.localdate() - timedelta(days=2)
    change_job(
        actor=work.actors["office"],
        job=Job.objects.get(pk=work.job.pk),
        version=work.job.version,
        promised_on=yesterday,
    )


def _booster(work: Opened) -> None:
    """A spherical roller thrust bearing on springs, half recorded, handed over."""
    work.sign_until(StepKind.STRIP_RECORD, by="tech2")
    actor = work.actors["tech2"]
    record = start_record(actor=actor, job=work.job, stage=Stage.AS_FOUND)
    roller = {**item_from_rating(work.ratings["29428 standard"], face="down"), **SPRINGS, **INSIDE}
    springs = {
        "kind": "spring_pack",
        "ring": "outer",
        "height_mm": 38,
        "note": "eight springs under the washer",
    }
    for data in (FLANGE, roller, springs):
        record = add_item(actor=actor, record=record, version=record.version, data=data)
    save_guide(actor=actor, record=record, version=record.version, data=LOWER_GUIDE)
    write_hand_over(
        actor=actor,
        job=work.job,
        done="Stack is off and listed; faces photographed. Springs not counted yet.",
        parts_lie="cart 3, bag B",
        danger="rotor on the hook, blocked; lock 12 is mine",
    )
