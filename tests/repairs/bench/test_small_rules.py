"""Small rules of tablet and measuring, one by one: each fails when its line is changed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from repairs.bench.asking import _seats, _second_look
from repairs.bench.kept_pages import todays_jobs
from repairs.measurements.forms import ReadingNumberField
from repairs.measurements.models import SeatPlace
from repairs.measurements.seat_forms import _degrees
from repairs.measurements.seat_standing import seats_missing
from repairs.measurements.seat_suggestions import seats_of
from repairs.measurements.standing_limits import _plate_end_play
from repairs.work_orders.models import Stage, StepKind
from repairs.work_orders.services.route import sign_off
from tests.repairs.factories import (
    actor_for,
    make_job,
    make_motor,
    make_stack_record,
    make_user,
    triple_items,
)
from tests.repairs.signed_stacks import approved, looked_at, with_photo

pytestmark = pytest.mark.django_db
D = Decimal


def test_a_job_in_ones_own_hands_does_not_wait_for_anybody_as_well():
    user = make_user()
    mine, waiting = make_job(), make_job()
    sign_off(actor=actor_for(user), step=mine.steps.first())
    own, others = todays_jobs(user)
    assert [job.pk for job in own] == [mine.pk]
    assert [job.pk for job in others] == [waiting.pk]


def test_whoever_is_on_no_shared_tablet_goes_on_at_the_start_page():
    client = Client()
    client.force_login(make_user())
    answer = client.get(reverse("bench:go_on"))
    assert (answer.status_code, answer["Location"]) == (302, reverse("home"))


def test_a_step_says_who_checked_every_bearing():
    job, second = make_job(), make_user()
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    assert _second_look(job, step) == ("check each before it is hidden", False)
    approved(job)
    record = with_photo(make_stack_record(job, Stage.AS_BUILT))
    assert _second_look(job, step) == ("not checked yet", False)
    looked_at(record, second)
    assert _second_look(job, step) == (f"checked by {second}", True)


def test_a_step_is_not_done_while_a_seat_of_the_stack_is_not_measured():
    job = make_job()
    step = job.steps.first()
    assert _seats(job, step) == ("0 measured", False)
    make_stack_record(job)
    words, done = _seats(job, step)
    assert ("still open" in words, done) == (True, False)


def test_a_job_without_a_stack_misses_no_seat_and_one_with_a_stack_misses_each():
    job = make_job()
    assert seats_missing(job) == []
    make_stack_record(job)
    assert len(seats_missing(job)) == 2


def test_bearings_of_one_size_share_a_seat_and_guides_have_seats_elsewhere():
    items = triple_items("ddu")
    items[2]["data"] |= {"bore_mm": 110.0, "outside_diameter_mm": 240.0}
    for at in (1, 3):
        items[at]["data"] |= {"bore_mm": 100.0, "outside_diameter_mm": 215.0}
    guide = {"uid": "g", "rating_id": None, "data": {"type": "deep_groove_ball", "bore_mm": 90.0,
             "outside_diameter_mm": 190.0, "carries": "none"}}  # fmt: skip
    record = make_stack_record(make_job(), items=items, guides=[guide])
    found = {(seat.bearing["ref"], seat.surface): (seat.place, seat.nominal_mm) for seat in seats_of(record)}
    assert found == {
        ("1+3", "bore"): (SeatPlace.MOUNT, D(100)),
        ("1+3", "od"): (SeatPlace.HOUSING_THRUST, D(215)),
        ("2", "bore"): (SeatPlace.MOUNT, D(110)),
        ("2", "od"): (SeatPlace.HOUSING_THRUST, D(240)),
        ("g1", "bore"): (SeatPlace.SHAFT_OTHER, D(90)),
        ("g1", "od"): (SeatPlace.HOUSING_OTHER, D(190)),
    }


@pytest.mark.parametrize(
    ("typed", "unit", "si", "high", "kept_unit"),
    [
        ("0.2", "mm", 0.2, D("0.2"), "mm"),
        ("1/128", "in", 0.1984375, D("0.1984375"), "mm"),
        ("?", "in", None, None, None),
    ],
)
def test_the_plate_s_end_play_is_taken_as_printed_and_a_fraction_as_it_was_understood(
    typed, unit, si, high, kept_unit
):
    plate = {"end_play_mm": {"state": "read", "typed": typed, "unit": unit, "si": si}}
    found = _plate_end_play(make_motor(nameplate=plate))
    assert (found and (found.high, found.unit)) == (None if high is None else (high, kept_unit))


@pytest.mark.parametrize(("celsius", "us", "si"), [(D("20.0"), "68", "20"), (None, "", "")])
def test_a_part_s_temperature_is_shown_in_the_units_of_the_reader(celsius, us, si):
    assert (_degrees(celsius, "us"), _degrees(celsius, "si")) == (us, si)


def test_a_number_is_typed_with_the_keys_for_numbers():
    assert ReadingNumberField().widget.attrs["inputmode"] == "decimal"
