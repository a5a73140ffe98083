"""Seats on paper: limits that the rule proposes, readings beside them, as found and as left in the report."""

from __future__ import annotations

import pytest
from django.utils import timezone

from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.content.report import report
from repairs.documents.content.seats import seat_part
from repairs.documents.services import issue_document
from repairs.measurements.seat_services import accept_seat, record_seat
from repairs.work_orders.models import Job
from tests.repairs.documents.reading import pages_of, stored
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.measurements.seats import GOOD, LOW, entry

pytestmark = pytest.mark.django_db


def test_a_traveler_proposes_limits_for_the_seats_of_the_stack():
    """100 k5 is 100.003 to 100.018 and 215 H6 is 215.000 to 215.029 (ISO 286-2)."""
    job = Job.objects.with_motor().get(pk=job_with_found_stack().pk)
    paper = issue_document(
        actor=actor_for(make_user("lead")),
        job=job,
        kind="traveler",
        paper="a4",
        language="en",
        units="si",
        now=timezone.now(),
    )
    words = " ".join(" ".join(pages_of(stored(paper))).split())
    for wanted in (
        "k5 by rule; drawing governs",
        "100.003 mm",
        "100.018 mm",
        "215.000 mm",
        "215.029 mm",
    ):
        assert wanted in words


def the_job() -> Job:
    return Job.objects.with_motor().get(pk=job_with_found_stack().pk)


def seats_on_traveler(job: Job) -> list[dict]:
    return issuing.content_of(job, "traveler", CANONICAL)["seats"]


def test_a_measured_seat_stands_beside_its_limits_and_needs_no_blank_line():
    job = the_job()
    blank = seats_on_traveler(job)
    record_seat(actor=actor_for(make_user()), job=job, entry=entry(GOOD), sign=True)
    rows = seats_on_traveler(job)
    assert len(rows) == len(blank)
    assert rows[0]["seat"] == "bearing 1, thrust bearing seat on the mount, Ø\u00a0100\u00a0mm"
    assert (rows[0]["low"], rows[0]["high"]) == ("100.003\u00a0mm", "100.018\u00a0mm")
    assert rows[0]["planes"] == ["100.009 · 100.011", "100.010 · 100.012", "100.011 · 100.013"]
    assert (rows[0]["verdict"], rows[0]["zone"]) == ("pass", "k5 by rule; drawing governs")
    assert not any("100 mm" in row["seat"] and not row["verdict"] for row in rows)


def test_a_seat_that_failed_leaves_room_to_write_it_as_left():
    job = the_job()
    record_seat(actor=actor_for(make_user()), job=job, entry=entry(LOW), sign=True)
    found, left = seats_on_traveler(job)[:2]
    assert (found["moment"], found["verdict"], left["moment"]) == ("as found", "fail", "as left")
    assert (left["planes"], left["low"]) == (["", "", ""], "100.003\u00a0mm")


def test_a_job_without_measured_seats_has_the_papers_that_it_had():
    job = the_job()
    assert set(seats_on_traveler(job)[0]) == {
        "seat", "moment", "zone", "low", "high", "unit", "planes", "verdict",
    }  # fmt: skip
    assert "seats" not in report(job, CANONICAL)


def test_the_report_shows_as_found_and_as_left_with_limits_source_and_who():
    job, worker, lead = the_job(), actor_for(make_user()), actor_for(make_user("lead"))
    found = record_seat(actor=worker, job=job, entry=entry(LOW), sign=True)
    accept_seat(actor=lead, seat=found, reason="customer agrees, order 88-4410")
    record_seat(actor=worker, job=job, entry=entry(GOOD, moment="as_left"), sign=True)
    record_seat(actor=worker, job=job, entry=entry(GOOD, name="lower"))
    rows = report(job, CANONICAL)["seats"]
    assert [(row["moment"], row["verdict"]) for row in rows] == [("as found", "fail"), ("as left", "pass")]
    assert rows[0]["why"].startswith("The smallest size, 100.001")
    assert "accepted by the shop foreman" in rows[0]["accepted"]
    assert "customer agrees, order 88-4410" not in str(rows)  # the reason is the shop's own
    assert "from memory, unverified" in rows[0]["source"]
    inches = report(job, Reader(units="us"))["seats"][1]
    assert (inches["low"], inches["high"]) == ("3.93713\u00a0in", "3.93771\u00a0in")


def test_the_printed_traveler_shows_the_readings():
    job = the_job()
    record_seat(actor=actor_for(make_user()), job=job, entry=entry(GOOD), sign=True)
    paper = issue_document(
        actor=actor_for(make_user("lead")), job=job, kind="traveler", paper="letter", language="en", units="si",
        now=timezone.now(),
    )  # fmt: skip
    words = " ".join(" ".join(pages_of(stored(paper))).split())
    assert "100.009 · 100.011" in words


def test_seats_cost_one_query_however_many_there_are(django_assert_max_num_queries):
    job, worker = make_job(), actor_for(make_user())
    for number in range(5):
        record_seat(actor=worker, job=job, entry=entry(LOW, name=str(number)), sign=True)
    with django_assert_max_num_queries(1):
        assert len(seat_part(job, CANONICAL)["seats"]) == 5
