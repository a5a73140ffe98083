"""Seats in the office: what was measured, the fit, the heat with its cautions, and a lead's word on a failed one."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_services import record_seat
from repairs.work_orders.models import Job
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.measurements.seats import GOOD, LOW, entry

pytestmark = pytest.mark.django_db
HOUSING = (("215.012", "215.014"),) * 3


def page_of(client: Client, job: Job) -> str:
    answer: Any = client.get(reverse("office:seats", args=[job.number]))
    assert answer.status_code == 200
    return answer.content.decode().replace("\u00a0", " ")


def measured(job: Job, planes: Any = GOOD, **fields: Any) -> SeatRecord:
    return record_seat(actor=actor_for(make_user()), job=job, entry=entry(planes, **fields), sign=True)


@pytest.fixture
def lead(client: Client) -> Client:
    client.force_login(make_user("lead", units="si"))
    return client


def test_the_page_tells_the_fit_its_effect_and_the_heat_with_cautions(lead):
    job = make_job()
    measured(job, ring_typed="99.992", ring_mm=Decimal("99.992"))
    page = page_of(lead, job)
    # ISO 286-2 k5 3..18 over ISO 492 Normal 0..-20; the seat measures +9 to +13 µm, mean 11, the bore -8
    assert "3 µm tight to 38 µm tight" in page
    assert "9 µm tight to 33 µm tight" in page
    assert "19 µm tight" in page
    # half and four fifths of 19 µm; over 2 tan 40° = 1.678: 5.7 and 9.1 µm a bearing (common practice, geometry)
    assert "9.5 µm to 15.2 µm" in page
    assert "5.7 µm to 9.1 µm" in page
    # 20 °C + (19 + 50 µm) / (12e-6 x 100 mm) = 77.5 °C
    assert "77.5 °C" in page
    assert "common practice, no source" in page
    for caution in ("dry heat-resistant gloves", "never with a flame", "110 °C", "pacemaker"):
        assert caution in page
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="chart"' in page


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"tolerance_class": ""}, "not known"),
        ({"gauge": "unknown"}, "Gauge and part temperature"),
        ({"bearing": {}}, "no zone from drawing, customer or rule"),
    ],
)
def test_what_is_not_known_is_said_and_gives_no_heat(lead, fields, words):
    job = make_job()
    measured(job, **fields)
    page = page_of(lead, job)
    assert words in page
    assert ("Mounting temperature" in page) == (fields == {"gauge": "unknown"})


def test_a_loose_ring_needs_no_heat_and_a_housing_is_not_heated(lead):
    job = make_job()
    measured(job, (("99.970", "99.970"),) * 3)
    measured(job, HOUSING, place="housing_thrust", nominal_mm=Decimal(215))
    page = page_of(lead, job)
    assert "The ring is loose on this seat. No heat needed." in page
    assert page.count("Mounting temperature") == 1
    assert "changes neither clearance nor preload" in page


def test_a_reader_of_inches_sees_inches_and_fahrenheit(client):
    job = make_job()
    measured(job)
    client.force_login(make_user("office", units="us"))
    page = page_of(client, job)
    assert "3.93713 in to 3.93771 in" in page
    assert "°F (" in page
    assert "Accept as is" not in page


def test_a_lead_lets_a_failed_seat_pass_once_with_a_reason(lead):
    job = make_job()
    seat = measured(job, LOW)
    assert "1 bearing fit is out of limits" in page_of(lead, job)
    url = reverse("office:accept_seat", args=[job.number, seat.pk])
    refused = lead.post(url, {"form_key": "k", "reason": " "})
    assert refused.status_code == 422
    assert "Enter why" in refused.content.decode()
    for _twice in range(2):
        assert lead.post(url, {"form_key": "k", "reason": "customer agrees"}).status_code == 302
    page = page_of(lead, job)
    assert "customer agrees" in page
    assert "is out of limits" not in page


@pytest.mark.parametrize("role", ["office", "technician", "engineer"])
def test_nobody_else_lets_a_seat_pass(client, role):
    job = make_job()
    seat = measured(job, LOW)
    client.force_login(make_user(role))
    answer = client.post(
        reverse("office:accept_seat", args=[job.number, seat.pk]), {"form_key": "k", "reason": "x"}
    )
    assert answer.status_code == 403
    assert SeatRecord.objects.get().accepted_at is None
    assert "Accept as is" not in page_of(client, job)


def test_the_jobs_page_leads_to_the_seats_and_counts_those_that_stand(lead):
    job = make_job()
    url = reverse("office:job", args=[job.number])
    assert "no bearing fits measured yet" in lead.get(url).content.decode()
    measured(job)
    measured(job, name="lower")
    assert "2 bearing fits measured" in lead.get(url).content.decode()


def test_an_empty_page_says_where_seats_are_measured(lead):
    assert "No bearing fits measured yet" in page_of(lead, make_job())


def test_the_page_costs_the_same_however_many_seats_there_are(lead):
    job = make_job()

    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            page_of(lead, job)
        return len(seen)

    measured(job)
    first = queries()
    for number in range(4):
        measured(job, LOW, name=str(number))
    assert queries() == first
    assert first <= 6
