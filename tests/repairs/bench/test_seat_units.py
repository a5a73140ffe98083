"""A unit typed behind a size of a seat: converted exactly, shown back, kept as it was typed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from repairs.measurements.models import SeatRecord
from repairs.work_orders.models import Job, Stage
from tests.repairs.bench.test_seats import new, page_of, typed
from tests.repairs.factories import make_job, make_stack_record, make_user

pytestmark = pytest.mark.django_db
# 100.00996 mm and 100.0125 mm are both in k5 of 100 mm.
MIXED = ("3.9374 in", '3.9374"', "100.010mm", "100.0125 mm", "100.010 MM", "3.9374 inches")


@pytest.fixture
def job() -> Job:
    found = make_job()
    make_stack_record(found, Stage.AS_FOUND)
    return found


@pytest.fixture
def metric(client: Client) -> Client:
    client.force_login(make_user(units="si"))
    return client


@pytest.fixture
def inches(client: Client) -> Client:
    client.force_login(make_user(units="us"))
    return client


def test_sizes_with_a_unit_behind_are_converted_exactly_and_kept_as_typed(metric, job):
    assert metric.post(new(job), typed(*MIXED)).status_code == 302
    seat = SeatRecord.objects.get()
    assert seat.planes_mm == [["100.00996", "100.00996"], ["100.010", "100.0125"], ["100.010", "100.00996"]]
    assert seat.typed == [["3.9374 in", "3.9374 in"], ["100.010", "100.0125"], ["100.010", "3.9374 in"]]
    page = page_of(metric.get(reverse("bench:seat", args=[job.number, seat.pk])))
    assert "3.9374 in</td>" in page
    assert "100.010 mm</td>" in page
    assert "in mm" not in page


def test_what_was_understood_is_shown_back_while_one_types(inches, job):
    url = reverse("bench:seat_verdict", args=[job.number])
    page = page_of(inches.post(url, typed("100.01 mm", "3.9375 in", "3.9374", unit="in", ring="100 mm")))
    assert "Plane 1 at 0°: 100.01 mm read as 3.93740\u00a0in." in page
    assert "Bearing as measured, mean: 100 mm read as 3.93701\u00a0in." in page
    assert page.count("read as") == 2, "the sheet's own unit needs no words"


def test_limits_typed_in_the_other_unit_come_back_as_they_can_be_read_again(inches, job):
    sizes = {"limits_from": "drawing", "low": "100.003 mm", "high": "3.93771", "limits_source": "D-1"}
    answer = inches.post(new(job), typed(*["3.9374"] * 6, unit="in", do="keep", **sizes))
    assert answer.status_code == 302
    seat = SeatRecord.objects.get()
    assert (seat.low_mm, seat.high_mm) == (Decimal("100.003"), Decimal("100.017834"))
    page = page_of(inches.get(reverse("bench:seat", args=[job.number, seat.pk])))
    assert 'value="100.003 mm"' in page
    assert 'value="3.93771"' in page


def test_a_sheet_with_units_behind_can_be_gone_on_with(metric, job):
    metric.post(new(job), typed(*MIXED, do="keep"))
    url = reverse("bench:seat", args=[job.number, SeatRecord.objects.get().pk])
    assert 'value="3.9374 in"' in page_of(metric.get(url))
    assert metric.post(url, typed(*MIXED, form_key="k2", version="1")).status_code == 302
    assert SeatRecord.objects.get().is_signed


@pytest.mark.parametrize(
    ("part", "kept"), [("86F", "30.0"), ("86 °F", "30.0"), ("30 C", "30.0"), ("30", "30.0")]
)
def test_a_temperature_is_taken_with_its_unit(metric, job, part, kept):
    metric.post(new(job), typed(part_temperature=part))
    assert SeatRecord.objects.get().part_c == Decimal(kept)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"p1a0": "10.001 cm"}, "“cm” is not a unit of this sheet. Enter the size in mm or in."),
        ({"p1a0": "100.01 kg"}, "“kg” is not a unit of this sheet"),
        ({"p1a0": "3.937401 in"}, "3.937401 in: at most 5 decimals"),
        ({"p1a0": "100 in"}, "larger than any seat"),
        ({"p1a0": "3.9374 mm"}, "3.9374 mm looks like inches"),
        ({"p1a0": "98 mm", "unit": "in"}, "98 mm is far from the nominal size"),
        ({"nominal_mm": "3.937 in"}, "enter the nominal size in mm"),
        ({"part_temperature": "300 K"}, "“K” is not a unit of temperature. Enter °C or °F."),
        ({"part_temperature": "300 F"}, "out of range"),
    ],
)
def test_a_unit_that_is_none_or_gives_no_such_size_is_refused_in_words(metric, job, fields, words):
    answer = metric.post(new(job), typed(**fields))
    assert answer.status_code == 422
    assert words in page_of(answer)
    assert SeatRecord.objects.count() == 0


def test_the_nominal_size_may_have_its_millimeters_behind(metric, job):
    assert metric.post(new(job), typed(nominal_mm="100 mm")).status_code == 302
    assert SeatRecord.objects.get().nominal_mm == Decimal(100)
