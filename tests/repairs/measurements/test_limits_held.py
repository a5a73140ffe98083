"""What one person alone cannot loosen: the limits that a motor is held to."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.measurements.limit_services import withdraw_limit
from repairs.measurements.models import Reading, StandingLimit
from repairs.measurements.standing_limits import Standing, standing_limit
from repairs.motors.services import change_motor
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import corrected, limit, plain_job, plate, step_of, take
from tests.repairs.signed_stacks import limits_of_the_shop

pytestmark = [pytest.mark.django_db, pytest.mark.data]
D = Decimal


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"high": D("0.3")}, "high"),
        ({"unit": "in", "high": D("0.011")}, "high"),
        ({"high": None, "low": D("0.1")}, "high"),
        ({"asked": "insulation", "unit": "MΩ", "high": None, "low": D(4)}, "low"),
        ({"asked": "insulation", "unit": "MΩ", "high": D(900)}, "low"),
        ({"asked": "runout", "high": D("0.1")}, "high"),
    ],
)
def test_a_specification_looser_than_plate_standard_or_policy_is_refused(wrong, field):
    limit(None, asked="runout", high=D("0.08"))
    job = plain_job(end_play_mm=("0.010", "in", 0.254), voltage_v=("460", "V", 460.0))
    with pytest.raises(WorkOrderError, match=r"Looser than .*override") as refusal:
        limit(job, **wrong)
    assert refusal.value.field == field
    assert not StandingLimit.objects.filter(job=job).exists()


def test_a_specification_that_is_tighter_or_says_what_nothing_else_does_is_taken():
    job = plain_job(end_play_mm=("0.010", "in", 0.254))
    assert limit(job, high=D("0.254")).high == D("0.254")
    assert limit(job, unit="in", high=D("0.009")).unit == "in"
    assert limit(job, asked="runout", high=D("0.3")).high == D("0.3")


def test_a_specification_is_no_looser_than_a_plate_that_was_read_after_it():
    job = plain_job()
    limit(job, high=D("0.5"))
    job.motor.nameplate = plate(end_play_mm=("0.010", "in", 0.254))
    found = standing_limit(job, "end_play", measurer=None, at=timezone.now())
    assert (found.high, found.unit, found.source) == (D("0.254"), "mm", "nameplate")


def test_what_a_reading_of_the_job_was_held_to_is_neither_withdrawn_nor_loosened():
    job, lead = plain_job(), actor_for(make_user("lead"))
    mistyped = limit(job, high=D("0.02"))
    own = limit(job, high=D("0.2"))
    assert mistyped.high < own.high, "a figure is put right until something was measured by it"
    assert take(job, "0.31").verdict == "fail"
    with pytest.raises(WorkOrderError, match="judged by this limit"):
        withdraw_limit(actor=lead, limit=own)
    with pytest.raises(WorkOrderError, match=r"Looser than at most 0.2 mm"):
        limit(job, high=D("0.4"))
    assert limit(job, high=D("0.15")).high == D("0.15")
    assert take(job, "0.18").verdict == "fail"


def test_a_plate_typed_over_after_a_reading_failed_by_it_opens_nothing():
    job = plain_job(end_play_mm=("0.010", "in", 0.254))
    assert take(job, "0.012", unit="in").verdict == "fail"
    job.motor = change_motor(
        actor=actor_for(make_user("office")), motor=job.motor, version=job.motor.version,
        nameplate=plate(end_play_mm=("0.100", "in", 2.54)),
    )  # fmt: skip
    again = take(job, "0.012", unit="in")
    assert (again.verdict, again.limit_high) == ("fail", D("0.010"))


def test_the_policy_of_the_day_a_job_was_opened_holds_for_it_until_a_tighter_one():
    shop = limit(None, high=D("0.25"))
    job, lead = plain_job(), make_user("lead")
    limit(None, lead, high=D("0.9"))
    assert take(job, "0.31").verdict == "fail"
    assert take(plain_job(), "0.31").verdict == "pass"
    assert take(job, "0.31", lead).verdict == "fail", "one who typed the newer policy is held to the older"
    other = plain_job()
    withdraw_limit(actor=actor_for(lead), limit=StandingLimit.objects.current().get())
    assert take(other, "0.31").verdict == "pass"
    limit(None, high=D("0.2"))
    assert take(job, "0.22").verdict == "fail"
    assert StandingLimit.objects.get(pk=shop.pk).replaced_at is not None


def test_what_the_measurer_typed_opens_nothing_and_tightens_all_the_same():
    job, lead = plain_job(end_play_mm=("0.30", "mm", 0.3)), make_user("lead")
    limit(job, lead, high=D("0.2"))
    assert take(job, "0.25", lead).verdict == "fail"
    assert take(job, "0.19", lead).verdict == "pass"


@pytest.mark.parametrize("field", ["low", "high"])
def test_a_limit_below_nothing_is_refused_beside_its_field(field):
    with pytest.raises(WorkOrderError, match=r"-1 is out of range. Accepted: 0 to 999999999") as refusal:
        limit(None, **{"high": None, field: D(-1)})
    assert refusal.value.field == field


def test_a_size_below_nothing_is_no_reading_nor_its_correction():
    limits_of_the_shop()
    job = plain_job()
    asked = {"asked": "vib_top_0", "unit": "mm/s rms"}
    with pytest.raises(WorkOrderError, match=r"0.1 is out of range"):
        take(job, "-0.1", **asked)
    row = take(job, "0.31", **asked)
    with pytest.raises(WorkOrderError, match=r"0.1 is out of range"):
        corrected(row, "-0.1")


def test_the_forms_of_limits_and_readings_refuse_what_lies_below_nothing():
    job, lead = plain_job(), Client()
    lead.force_login(make_user("lead"))
    url = reverse("bench:limits", args=[job.number])
    body = {"do": "enter", "asked": "end_play", "high": "-0.2", "unit": "mm", "source": "order 7"}
    answer = lead.post(url, {**body, "form_key": "a"})
    assert answer.status_code == 422
    assert "-0.2 is out of range. Accepted: 0 to 999999999." in answer.content.decode()
    step = step_of(job, StepKind.FINAL_TEST)
    taken = reverse("bench:shop_test", args=[job.number, step.pk, "vibration"])
    answer = lead.post(taken, {"vib_top_0": "-0.2", "form_key": "b"})
    assert answer.status_code == 422
    assert "-0.2 is out of range" in answer.content.decode().replace("\u2212", "-")
    assert not Reading.objects.exists()


def test_a_makers_limit_stands_behind_the_customers_and_before_the_shops():
    job = plain_job()
    limit(None, asked="end_play", high=D("0.3"))
    limit(job, asked="end_play", high=D("0.25"), level="maker", source="manual 12")
    found = standing_limit(job, "end_play", measurer=None, at=timezone.now())
    assert (found.high, found.source) == (D("0.25"), "maker: manual 12")
    limit(job, asked="end_play", high=D("0.2"))
    found = standing_limit(job, "end_play", measurer=None, at=timezone.now())
    assert (found.high, found.source) == (D("0.2"), "specification: order 7")
    assert StandingLimit.objects.current().filter(job=job).count() == 2


def test_limits_in_other_units_are_compared_by_their_quantity():
    """68 °F is 20 °C; what is looser is refused whatever unit it is typed in."""
    job = plain_job()
    limit(job, asked="temp_top", unit="°C", high=D("80"))
    found = standing_limit(job, "temp_top", measurer=None, at=timezone.now())
    assert found.si(found.high) == D("80")
    in_f = Standing(low=None, high=D("180"), unit="°F", source="x", quantity="temperature")
    assert in_f.si(in_f.high) == pytest.approx(D("82.2222"), abs=D("0.0001"))
    assert in_f.is_looser_than(found)
    assert in_f.tightened_by(found).high == pytest.approx(D("176"), abs=D("0.0001"))


def test_an_earlier_level_of_a_high_potential_test_is_no_limit_of_a_later_one():
    """In service and rewound are two levels; an earlier one does not make the later one impossible."""
    job, by = plain_job(), make_user()
    Reading.objects.create(
        job=job, asked="hipot_voltage", quantity="x", value=D(5200), unit="V", limit_low=D(5200), limit_high=D(6240),
        limit_source="in service", verdict="pass", person=by, person_name="x",
    )  # fmt: skip
    rewound = Standing(low=D(7456), high=D(7456), unit="V", source="rewound", quantity="voltage")
    found = standing_limit(job, "hipot_voltage", measurer=None, at=timezone.now(), standard=rewound)
    assert (found.low, found.high) == (D(7456), D(7456))
