"""The page of a motor's history, in the office and at the bench."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from repairs.people.permissions import Role
from tests.repairs.factories import make_motor, make_user
from tests.repairs.measurements.history.visits import read, see, visits
from tests.repairs.people.tablets import at_the_bench

pytestmark = pytest.mark.django_db


def page_of(answer: Any) -> str:
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_motors_page_leads_to_its_history(client):
    (job,) = visits(1)
    client.force_login(make_user("office"))
    url = reverse("office:motor_trends", args=[job.motor_id])
    assert url in page_of(client.get(reverse("office:motor", args=[job.motor_id])))
    assert "No trends yet" in page_of(client.get(url))


def test_a_motor_without_jobs_says_what_will_be_here(client):
    client.force_login(make_user("office"))
    page = page_of(client.get(reverse("office:motor_trends", args=[make_motor().pk])))
    assert "Trends show here once the motor has been in the shop." in page
    assert client.get(reverse("office:motor_trends", args=[999])).status_code == 404


def test_the_page_shows_chart_table_flags_and_visits(client):
    first, second = visits(2)
    for job, value in ((first, "3"), (second, "2")):
        read(job, "insulation", value, verdict="fail", limit_low="5", quantity="Insulation")
        see(job)
    client.force_login(make_user("technician"))
    page = page_of(client.get(reverse("office:motor_trends", args=[first.motor_id])))
    assert f"Insulation: out of limits on 2 visits (jobs {first.number}, {second.number})." in page
    assert "Subsurface-initiated fatigue (5.1.2): found on 2 visits" in page
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="chart"' in page
    assert page.count("FAIL") >= 2
    assert "2 jobs, 1 motor" in page
    assert reverse("office:job", args=[first.number]) in page


@pytest.mark.parametrize("role", sorted(Role.values))
def test_whoever_sees_the_shop_sees_a_motors_history(role):
    (job,) = visits(1)
    client = Client()
    client.force_login(make_user(role))
    assert client.get(reverse("office:motor_trends", args=[job.motor_id])).status_code == 200
    assert client.get(reverse("bench:motor_trends", args=[job.number])).status_code == 200


def test_a_tablet_shows_it_at_the_bench_and_leads_to_no_office_page():
    (job,) = visits(1)
    read(job, "end_play", "0.2", unit="mm")
    client, _person, _device = at_the_bench("technician")
    assert reverse("bench:motor_trends", args=[job.number]) in page_of(
        client.get(reverse("bench:job", args=[job.number]))
    )
    page = page_of(client.get(reverse("bench:motor_trends", args=[job.number])))
    assert "End play" in page
    assert reverse("office:job", args=[job.number]) not in page
    assert client.get(reverse("office:motor_trends", args=[job.motor_id])).status_code == 403
