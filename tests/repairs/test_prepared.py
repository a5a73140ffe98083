"""Prepared queries answer exactly as the query sets that they are made from."""

from __future__ import annotations

from decimal import Decimal

import pytest

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.measurements.services import record_reading
from repairs.office import job_reading
from repairs.work_orders.models import Job
from repairs.work_orders.prepared import PreparedRows
from repairs.work_orders.services.holds import write_hand_over
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.stack_views import lines_of
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def job() -> Job:
    job = job_with_found_stack()
    lead = actor_for(make_user("lead"))
    sign_off(actor=lead, step=job.steps.first(), note="tag no. 7")
    write_hand_over(actor=lead, job=job, done="Rotor on stand 2.")
    record_reading(
        actor=lead, job=job, quantity="insulation resistance", value=Decimal("3.20"), unit="MΩ",
        limit_low=Decimal("5"), limit_high=None, limit_source="IEEE 43", moment="as_found",
    )  # fmt: skip
    return job


@pytest.mark.parametrize("name", ["STEPS", "NOTES", "PHOTOS", "READINGS", "PAPERS"])
def test_rows_and_their_types_are_those_of_the_query_set_for_every_job(name, job):
    prepared = getattr(job_reading, name)
    for one in (job, make_job(), job_with_found_stack(photos=1)):
        plain = list(prepared.build(one.pk))
        rows = prepared.rows(one.pk)
        assert rows == plain
        assert [[type(value) for value in row] for row in rows] == [[type(v) for v in row] for row in plain]
    assert name == "PAPERS" or prepared.rows(job.pk)


def test_events_are_read_by_the_jobs_number_the_newest_first_and_no_more_than_twenty(job):
    for n in range(25):
        write_hand_over(actor=actor_for(make_user()), job=job, done=f"note {n}")
    rows = job_reading.EVENTS.rows(job.number)
    assert len(rows) == job_reading.EVENTS_SHOWN
    _at, _who, _verb, _before, after, _reason = rows[0]
    assert after["done"] == "note 24"
    assert [row[0] for row in rows] == [event.at for event in Event.objects.of_job(job.number)[:20]]


def test_lines_of_stack_records_carry_the_shops_limits(job):
    (line,) = lines_of(job.pk)
    assert (line.stage, line.revision, line.signer) == ("as_found", 1, "Inez Marlow")
    assert line.shop_limits in (None, {})


def test_each_call_asks_one_query(job, django_assert_num_queries):
    job_reading.STEPS.rows(job.pk)
    with django_assert_num_queries(1):
        job_reading.STEPS.rows(job.pk)


def test_a_query_that_does_not_ask_by_its_key_is_refused():
    with pytest.raises(TypeError):
        PreparedRows(lambda _key: Reading.objects.values_list("pk")).rows(1)
