"""Hours, parts and outside work: for the office as a page, for the customer in the report."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.documents.content.reader import CANONICAL
from repairs.documents.content.report import report
from repairs.office.job_work import hours
from repairs.work_orders.models import WorkPeriod
from repairs.work_orders.services import work
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db


def worked_on():
    job, actor = make_job(), actor_for(make_user(first_name="Tess", last_name="Oriel"))
    period = work.start_work(actor=actor, step=job.steps.first())
    WorkPeriod.objects.filter(pk=period.pk).update(started_at=timezone.now() - timedelta(minutes=65))
    work.stop_work(actor=actor, period=WorkPeriod.objects.get(pk=period.pk))
    work.start_work(actor=actor, step=job.steps.all()[1])
    work.use_part(actor=actor, job=job, name="7320", designation="set S-118", quantity=Decimal("3.000"))
    slip = work.use_part(actor=actor, job=job, name="Wrong seal", quantity=Decimal(1))
    work.take_back_part(actor=actor, part=slip)
    work.list_part(actor=actor, job=job, name="Fan", disposition="repair", note="one blade bent")
    work.list_part(actor=actor, job=job, name="Coupling")
    spray = work.send_out(
        actor=actor, job=job, what="Metal spray", sent_to="Shop B", sent_on=date(2026, 11, 20)
    )
    work.came_back(actor=actor, service=spray, version=1, back_on=date(2026, 11, 24), result="seat 100 k5")
    work.send_out(actor=actor, job=job, what="Dynamic balance", sent_to="Shop C", sent_on=date(2026, 11, 23))
    return job


def test_the_office_sees_hours_by_step_parts_and_outside_work(client, django_assert_max_num_queries):
    job = worked_on()
    client.force_login(make_user("office"))
    with django_assert_max_num_queries(10):
        page = client.get(reverse("office:job_work", args=[job.number])).content.decode()
    for words in (
        "1:05",
        "Tess Oriel clocked in to",
        "set S-118",
        "removed",
        "Metal spray",
        "one blade bent",
    ):
        assert words in page


def test_the_report_tells_parts_fitted_outside_work_that_came_back_and_what_became_of_parts():
    told = report(worked_on(), CANONICAL)["work"]
    assert told["fitted"] == [{"name": "7320", "designation": "set S-118", "quantity": "3", "unit": "pc"}]
    assert [row["what"] for row in told["outside"]] == ["Metal spray"]
    assert [(row["name"], row["note"]) for row in told["fates"]] == [("Fan", "one blade bent")]


def test_a_report_of_a_job_without_parts_says_nothing_of_them():
    assert report(make_job(), CANONICAL)["work"] == {}


@pytest.mark.parametrize(("minutes", "text"), [(0, "0:00"), (59, "0:59"), (65, "1:05"), (1500, "25:00")])
def test_time_is_written_as_hours_and_minutes(minutes, text):
    assert hours(timedelta(minutes=minutes)) == text
