"""Jobs: numbers without gaps, nothing half done."""

from __future__ import annotations

import threading
from datetime import timedelta

import pytest
from django.db import connection

from repairs.ledger.models import Event
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.motors.models import Motor
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.services.opening import change_job, default_template, open_job
from tests.repairs.factories import (
    TODAY,
    actor_for,
    make_customer,
    make_job,
    make_motor,
    make_template,
    make_user,
)

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_numbers_follow_each_other_within_a_year_and_begin_anew_in_the_next():
    first, second = make_job(), make_job()
    assert (first.number, second.number) == ("26-0001", "26-0002")
    assert make_job(today=TODAY.replace(year=2027)).number == "27-0001"


def test_an_opening_that_is_refused_gives_its_number_back():
    make_job()
    motor = make_motor()
    with pytest.raises(WorkOrderError, match="past"):
        open_job(
            actor=actor_for(make_user("office")),
            motor=motor,
            customer=motor.customer,
            complaint="",
            today=TODAY,
            promised_on=TODAY - timedelta(days=1),
        )
    assert make_job().number == "26-0002"


def test_a_job_is_opened_for_the_owner_of_its_motor_alone():
    motor, other = make_motor(), make_customer()
    with pytest.raises(WorkOrderError, match="belongs to another customer") as refusal:
        open_job(
            actor=actor_for(make_user("office")), motor=motor, customer=other, complaint="", today=TODAY,
            template=make_template(),
        )  # fmt: skip
    assert refusal.value.field == "motor"
    assert not Job.objects.exists()


def test_a_motor_gets_the_route_of_its_build_else_one_for_any_build():
    vertical = make_template(for_build=Motor.Build.VERTICAL_HOLLOW)
    assert default_template(make_motor(build=Motor.Build.VERTICAL_SOLID)) is None
    any_build = make_template(for_build="")
    make_template(for_build="", active=False, name="A former route")
    assert default_template(make_motor(build=Motor.Build.VERTICAL_HOLLOW)) == vertical
    assert default_template(make_motor(build=Motor.Build.VERTICAL_SOLID)) == any_build


@pytest.mark.django_db(transaction=True)
def test_two_openings_at_once_get_two_numbers_without_a_gap():
    motor, template, actor = make_motor(), make_template(), actor_for(make_user("office"))
    wrong: list[Exception] = []
    start = threading.Barrier(4)

    def opening() -> None:
        try:
            start.wait()
            for _ in range(3):
                open_job(
                    actor=actor,
                    motor=motor,
                    customer=motor.customer,
                    complaint="",
                    today=TODAY,
                    template=template,
                )
        except Exception as error:
            wrong.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=opening) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    assert sorted(Job.objects.values_list("number", flat=True)) == [f"26-{n:04d}" for n in range(1, 13)]


def test_a_form_sent_twice_opens_one_job():
    motor, template, user = make_motor(), make_template(), make_user("office")
    actor = actor_for(user)

    def work() -> dict[str, str]:
        job = open_job(
            actor=actor, motor=motor, customer=motor.customer, complaint="", today=TODAY, template=template
        )
        return {"number": job.number}

    first = carry_out_once(actor=actor, key="k1", body={"a": 1}, work=work)
    second = carry_out_once(actor=actor, key="k1", body={"a": 1}, work=work)
    assert first == ({"number": "26-0001"}, False)
    assert second == ({"number": "26-0001"}, True)
    assert Job.objects.count() == 1
    with pytest.raises(LedgerError, match="other entries"):
        carry_out_once(actor=actor, key="k1", body={"a": 2}, work=work)


def test_a_change_based_on_an_old_view_is_refused():
    job, actor = make_job(), actor_for(make_user("office"))
    change_job(actor=actor, job=job, version=1, purchase_order="88-4410")
    with pytest.raises(StaleVersionError):
        change_job(actor=actor, job=job, version=1, purchase_order="other")
    job.refresh_from_db()
    assert job.purchase_order == "88-4410"


def test_each_change_leaves_an_event_that_the_database_will_not_give_up():
    job = make_job()
    event = Event.objects.of_job(job.number).get()
    assert event.verb == "job.opened"
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM ledger_guard")
        try:
            for statement in ("UPDATE ledger_event SET verb = 'x'", "DELETE FROM ledger_event"):
                with pytest.raises(Exception, match="never"):
                    _in_savepoint(cursor, statement)
        finally:
            cursor.execute("INSERT INTO ledger_guard (open) VALUES (1)")
    assert Event.objects.of_job(job.number).count() == 1


def _in_savepoint(cursor, statement: str) -> None:
    from django.db import transaction

    with transaction.atomic():
        cursor.execute(statement)
