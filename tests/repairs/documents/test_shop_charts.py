"""Charts of shop tests on the report and on the page of the test."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
from django.template.loader import render_to_string

from repairs.documents.content.reader import Reader
from repairs.documents.content.report import report
from repairs.measurements.engineering.shape import Value
from repairs.measurements.models import TestSetting
from repairs.measurements.shop_tests.codec import answer_of
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.measurements.shop_tests.vibration_chart import PLACES, vibration_chart
from repairs.work_orders.models import Job, StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import plain_job, step_of

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def make(job: Job, test: str, **values: Value) -> Any:
    entry = TestEntry(test=test, values=values)
    step = step_of(job, StepKind.FINAL_TEST)
    return record_test(actor=actor_for(make_user()), job=job, step=step, entry=entry)


def charts(job: Job) -> dict[str, dict[str, Any]]:
    told = report(Job.objects.with_motor().get(pk=job.pk), Reader("en", "si"))
    return {row["title"]: row for row in told.get("charts", ())}  # type: ignore[attr-defined]


def test_the_report_shows_the_run_with_its_table_and_the_vibration_by_point():
    job = plain_job()
    rows = tuple((float(at), 22.0, 40.0, 35.0) for at in (0, 30, 60))
    make(
        job, "run_temperatures", temperatures=rows, top_kind="rolling", bottom_kind="rolling", uncoupled="no"
    )
    make(job, "vibration", vib_top_0=1.1, vib_top_90=2.4)
    found = charts(job)
    assert list(found) == ["Run temperatures", "Vibration"]
    run = found["Run temperatures"]
    assert run["rows"][1][:3] == ["30", "22", "40"]
    for one in found.values():
        ElementTree.fromstring(one["drawing"])
    page = render_to_string("documents/_results.html", {"charts": list(found.values())})
    assert page.count("<svg") == 2
    assert "Time since start (min)" in page


def test_a_job_without_such_tests_has_no_charts():
    assert charts(plain_job()) == {}


def test_a_point_beyond_its_limit_says_so_and_one_not_measured_too():
    TestSetting.objects.create(key="vibration.standard", value="nema_rigid", entered_name="shop")
    TestSetting.objects.create(key="vibration.mounting", value="rigid", entered_name="shop")
    job = plain_job(rated_speed_rpm=("1780", "rpm", 1780))
    record = make(job, "vibration", vib_top_0=1.1, vib_top_90=9.0, uncoupled="yes")
    drawing = vibration_chart(answer_of(record.answer), "si")
    assert "OUT OF LIMITS, limit" in drawing
    assert "not measured" in drawing
    assert all(f">{place}<" in drawing for place in PLACES.values())
    assert 'class="hatch"' in drawing
