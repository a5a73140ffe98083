"""The wrong motor was chosen when a job was opened: it can be changed until a stack is signed or specified."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.measurements.services import record_reading
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.finding import find
from repairs.work_orders.models import Stage
from repairs.work_orders.open_job import JobEndedError
from repairs.work_orders.services.job_motor import change_job_motor
from repairs.work_orders.services.opening import close_job
from tests.repairs.factories import actor_for, make_job, make_motor, make_stack_record, make_user
from tests.repairs.rechecks.stacks import edition, printed, signed

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def office():
    return actor_for(make_user("office"))


def change(actor, job, motor, **more):
    job.refresh_from_db()
    return change_job_motor(
        actor=actor, job=job, motor=motor, **{"version": job.version, "reason": "wrong serial chosen", **more}
    )


def test_the_job_goes_to_the_other_motor_with_all_that_was_written_and_the_history_says_so(office):
    job = make_job(make_motor(serial="AB-1", tag="Well 1"))
    record_reading(actor=office, job=job, quantity="runout", value=Decimal(1), unit="mil")
    right = make_motor(job.customer, serial="AB-2", tag="Well 2")
    change(office, job, right)
    job.refresh_from_db()
    assert job.motor == right
    assert Reading.objects.of_job(job).count() == 1
    event = Event.objects.get(verb="job.motor_changed")
    assert (event.before["serial"], event.after["serial"], event.reason) == (
        "AB-1",
        "AB-2",
        "wrong serial chosen",
    )
    assert event.job_number == job.number
    assert [one.number for one in find("AB-2").jobs] == [job.number]
    assert not find("AB-1").jobs


def test_a_record_that_is_not_signed_goes_along(office):
    record = make_stack_record(make_job())
    right = make_motor(record.job.customer)
    change(office, record.job, right)
    assert record.job.stack_records.get() == record


def test_a_stack_that_is_specified_in_another_job_keeps_no_motor(office):
    make_stack_record(make_job(), Stage.SPECIFIED, submitted_at=timezone.now())
    job = make_job()
    right = make_motor(job.customer)
    change(office, job, right)
    job.refresh_from_db()
    assert job.motor == right


@pytest.mark.parametrize("stage", [Stage.AS_FOUND, Stage.SPECIFIED])
def test_a_signed_stack_was_judged_by_the_plate_of_its_motor_so_the_motor_stays(office, stage):
    job = make_job()
    signed(job, stage, printed(edition(2019)))
    motor = job.motor
    with pytest.raises(WorkOrderError, match="checked against this motor's nameplate"):
        change(office, job, make_motor(job.customer))
    job.refresh_from_db()
    assert job.motor == motor


def test_a_motor_of_somebody_else_in_the_shop_already_or_of_an_old_page_is_refused(office):
    job = make_job()
    with pytest.raises(WorkOrderError, match="belongs to"):
        change(office, job, make_motor())
    other = make_job(make_motor(job.customer))
    with pytest.raises(WorkOrderError, match=other.number):
        change(office, job, other.motor)
    with pytest.raises(StaleVersionError):
        change(office, job, make_motor(job.customer), version=job.version + 1)
    with pytest.raises(WorkOrderError, match="Enter the reason"):
        change(office, job, make_motor(job.customer), reason=" ")
    with pytest.raises(WorkOrderError, match="office or a lead"):
        change(actor_for(make_user()), job, make_motor(job.customer))


def test_an_ended_job_keeps_its_motor(office):
    job = make_job()
    close_job(actor=office, job=job, cancelled=True, reason="x")
    with pytest.raises(JobEndedError):
        change(office, job, make_motor(job.customer))


def test_the_page_offers_the_customers_motors_and_says_when_it_is_too_late(client, office):
    job = make_job()
    right, foreign = make_motor(job.customer, tag="Booster 7"), make_motor(tag="Booster 8")
    client.force_login(make_user("office"))
    assert "Wrong motor?" in client.get(reverse("office:job", args=[job.number])).content.decode()
    address = reverse("office:job_motor", args=[job.number])
    page = client.get(address)
    assert "Booster 7" in page.content.decode()
    assert "Booster 8" not in page.content.decode()
    sent = {"version": page.context["form"]["version"].value(), "reason": "mixed up"}
    assert client.post(address, {**sent, "motor": foreign.pk}).status_code == 422
    assert client.post(address, {**sent, "motor": right.pk}).status_code == 302
    signed(job, Stage.AS_FOUND, printed(edition(2019)))
    text = client.get(address).content.decode()
    assert "You cannot change the motor" in text
    assert "<select" not in text
