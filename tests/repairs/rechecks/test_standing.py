"""Which signed stacks are judged again: of open jobs, and of motors in service."""

from __future__ import annotations

import pytest

from repairs.rechecks.standing import Scope, standing_records
from repairs.work_orders.models import Job, Stage
from tests.repairs.factories import make_job, make_stack_record
from tests.repairs.rechecks.stacks import closed, in_service, signed

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def standing(**scope) -> set[int]:
    return set(standing_records(Scope(**scope)).values_list("pk", flat=True))


def test_an_open_job_stands_with_its_newest_signed_specified_and_built_stacks():
    job = make_job()
    signed(job, Stage.AS_FOUND)
    signed(job)
    newest = signed(job, revision=2)
    make_stack_record(job, Stage.SPECIFIED, revision=3)
    built = signed(job, Stage.AS_BUILT)
    assert standing() == standing(motors=False) == {newest.pk, built.pk}
    assert standing(jobs=False) == set()


def test_a_motor_in_service_stands_with_what_was_built_last_and_left_the_shop():
    first = in_service()
    assert standing() == standing(jobs=False) == {first.pk}
    assert standing(motors=False) == set()
    second = in_service(first.job.motor)
    assert standing() == {second.pk}


def test_a_later_visit_that_left_the_stack_alone_leaves_the_earlier_one_in_service():
    built = in_service()
    closed(make_job(built.job.motor))
    assert standing() == {built.pk}


def test_a_motor_that_is_back_in_the_shop_is_not_in_service():
    built = in_service()
    job = make_job(built.job.motor)
    assert standing() == set()
    closed(job, Job.State.CANCELLED)
    assert standing() == {built.pk}


def test_a_cancelled_job_stands_with_nothing():
    job = make_job()
    signed(job)
    signed(job, Stage.AS_BUILT)
    closed(job, Job.State.CANCELLED)
    assert standing() == set()


def test_the_specified_stack_of_a_closed_job_is_history():
    job = make_job()
    signed(job)
    closed(job)
    assert standing() == set()


def test_a_run_of_one_motor_covers_that_motor_alone():
    mine, other = in_service(), in_service()
    assert standing(motor_id=mine.job.motor_id) == {mine.pk}
    assert standing() == {mine.pk, other.pk}
