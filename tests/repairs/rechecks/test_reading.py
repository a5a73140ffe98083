"""What boards and pages ask of the re-checks: which jobs and motors have something to say."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import timezone

from repairs.motors.models import Motor
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.reading import flags_of_jobs, with_rechecks_of_jobs, with_rechecks_of_motors
from repairs.work_orders.models import Job
from tests.repairs.factories import make_job, make_stack_record

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def changed(job: Job, **fields: Any) -> Change:
    run = Recheck.objects.create(why=Recheck.Why.HAND)
    record = job.stack_records.first() or make_stack_record(job)
    return Change.objects.create(
        **{"recheck": run, "record": record, "job": job, "motor": job.motor, "told": True, **fields}
    )


def flagged(job: Job) -> tuple[bool | None, bool, bool]:
    """Return what the board, the job's page and the motor's page ask for."""
    return (
        flags_of_jobs([job.pk]).get(job.pk),
        with_rechecks_of_jobs(Job.objects.all()).get(pk=job.pk).rechecked,
        with_rechecks_of_motors(Motor.objects.all()).get(pk=job.motor_id).rechecked,
    )


def test_a_job_is_flagged_by_its_gravest_change_alone():
    stop, mild, quiet = make_job(), make_job(), make_job()
    for became_stop in (False, True, False):
        changed(stop, became_stop=became_stop)
    changed(mild)
    assert flags_of_jobs(job.pk for job in (stop, mild, quiet)) == {stop.pk: True, mild.pk: False}
    assert flags_of_jobs([mild.pk]) == {mild.pk: False}
    assert [flagged(job) for job in (mild, quiet)] == [(False, True, True), (None, False, False)]


def test_what_is_in_service_is_said_of_the_motor_and_not_of_the_job():
    job = make_job()
    changed(job, in_service=True, became_stop=True)
    assert flagged(job) == (None, False, True)


@pytest.mark.parametrize("why", ["seen", "replaced", "not told"])
def test_what_was_seen_or_replaced_or_need_not_be_told_flags_nothing(why):
    job = make_job()
    quiet: dict[str, Any] = {
        "seen": {"seen_at": timezone.now()},
        "replaced": {"replaced_by": Recheck.objects.create(why=Recheck.Why.HAND)},
        "not told": {"told": False},
    }
    changed(job, became_stop=True, **quiet[why])
    assert flagged(job) == (None, False, False)


def test_a_board_without_rows_asks_nothing(django_assert_num_queries):
    with django_assert_num_queries(0):
        assert flags_of_jobs([]) == {}
