"""Shop tests on the report: found, left, limit and its source in one row; notes, instruments, what has no limit."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.utils import timezone

from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.content.report import report
from repairs.documents.reports import facts_digest
from repairs.measurements.limit_services import judge_reading
from repairs.measurements.models import Instrument, Reading, TestRecord, TestSetting
from repairs.measurements.services import record_reading
from repairs.measurements.shop_tests.services import TestEntry, correct_test, record_test
from repairs.measurements.shop_tests.sheets import OWN, OwnRow, TestRow
from repairs.measurements.shop_tests.shop_services import change_sheet
from repairs.measurements.words.figures import Written
from repairs.work_orders.models import Job, StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import D, plain_job, step_of
from tests.repairs.measurements.one_figure import take_figure

pytestmark = [pytest.mark.django_db, pytest.mark.data]
PLATE: dict[str, Any] = {"voltage_v": ("460", "V", 460), "insulation_class": ("F", "", "F")}


def job_of(**plate: Any) -> Job:
    TestSetting.objects.create(key="insulation.method", value="ten_degree", entered_name="shop")
    job = plain_job(**{**PLATE, **plate})
    job.steps.create(position=1, kind=StepKind.INCOMING_TEST, title="Incoming test")
    job.steps.create(position=2, kind=StepKind.CLEAN, title="Clean and bake")
    return job


def make(job: Job, kind: str = StepKind.FINAL_TEST, test: str = "insulation", **more: Any) -> TestRecord:
    instrument = more.pop("instrument", "")
    entry = TestEntry(test=test, values=more, instrument=instrument)
    return record_test(actor=actor_for(make_user()), job=job, step=step_of(job, kind), entry=entry)


def content(job: Job, units: str = "si") -> dict[str, Any]:
    told = report(Job.objects.with_motor().get(pk=job.pk), Reader("en", "us" if units == "us" else "si"))
    plain = json.dumps(told, ensure_ascii=False).replace("\u00a0", " ").replace("\u202f", " ")
    return json.loads(plain)


def rows_of(job: Job, units: str = "si") -> dict[str, dict[str, Any]]:
    return {row["what"]: row for row in content(job, units)["results"]}


IR = "Insulation resistance, 1 min, corrected to 40 °C"
PI = "Polarization index (10 min / 1 min)"


def test_a_result_is_one_row_found_left_limit_source_and_verdict_of_what_was_left():
    job = job_of()
    make(job, StepKind.INCOMING_TEST, r_1min=2, winding_c=40)
    make(job, r_1min=500, r_10min=1500, winding_c=40)
    row = rows_of(job)[IR]
    assert (row["found"], row["found_verdict"]) == ("2 MΩ", "fail")
    assert (row["left"], row["verdict"], row["limit"]) == ("500 MΩ", "pass", "at least 5 MΩ")
    assert "IEEE 43-2013" in row["source"]
    assert "as restated in a secondary copy" in row["source"]


def test_a_result_without_its_partner_leaves_a_dash_and_no_verdict_of_what_was_left():
    job = job_of()
    make(job, StepKind.INCOMING_TEST, r_1min=2, r_10min=8, winding_c=40)
    make(job, r_1min=500, winding_c=40)
    row = rows_of(job)[PI]
    assert (row["found"], row["left"], row["verdict"]) == ("4", "", "")
    words = render_to_string("documents/_results.html", content(job))
    assert words.count("–") >= 2


def test_the_newest_of_a_moment_counts_and_what_stood_before_is_still_said():
    job = job_of()
    make(job, StepKind.INCOMING_TEST, r_1min=2, winding_c=40)
    make(job, StepKind.CLEAN, r_1min=300, winding_c=40)
    row = rows_of(job)[IR]
    assert (row["found"], row["found_verdict"]) == ("300 MΩ", "pass")
    assert [(one["step"], one["value"], one["verdict"]) for one in row["also"]] == [
        ("Incoming test", "2 MΩ", "fail")
    ]
    words = " ".join(render_to_string("documents/_results.html", content(job)).split())
    assert "Also measured, as found, Incoming test: 2 MΩ" in words


def test_a_corrected_test_is_on_no_row():
    job = job_of()
    first = make(job, r_1min=3, winding_c=40)
    entry = TestEntry(test="insulation", values={"r_1min": 300, "winding_c": 40})
    correct_test(actor=actor_for(make_user()), record=first, entry=entry, reason="read the wrong scale")
    row = rows_of(job)[IR]
    assert (row["left"], row["verdict"], "also" in row) == ("300 MΩ", "pass", False)
    assert len(content(job)["tests"]) == 1


def test_the_readers_units_and_a_figure_of_the_gate_in_the_same_row():
    job = job_of()
    make(job, test="insulation", r_1min=500, winding_c=40)
    make(job, StepKind.INCOMING_TEST, "vibration", vib_top_0=5.08)
    take_figure(
        actor=actor_for(make_user()), job=job, step=step_of(job, StepKind.FINAL_TEST), asked="vib_top_0",
        value=D("1.1"), unit="mm/s rms",
    )  # fmt: skip
    name = "Vibration, top bearing, radial 0°"
    assert (rows_of(job)[name]["found"], rows_of(job)[name]["left"]) == ("5.08 mm/s rms", "1.1 mm/s rms")
    assert rows_of(job, "us")[name]["found"] == "0.283 in/s pk"


def test_a_reading_of_the_old_kind_stays_in_its_own_table():
    job = job_of()
    record_reading(
        actor=actor_for(make_user()), job=job, quantity="coupling bore", value=D("90.01"), unit="mm",
        limit_high=D("90.04"), limit_source="drawing",
    )  # fmt: skip
    before = content(job)
    assert {"results", "recorded", "test_notes", "tests"} & set(before) == set()
    make(job, r_1min=500, winding_c=40)
    after = content(job)
    assert after["readings"] == before["readings"]
    assert [row["quantity"] for row in after["readings"]] == ["coupling bore"]
    words = render_to_string("documents/_report_body.html", after)
    assert "Other readings" in words
    assert "coupling bore" in words


def test_a_job_without_shop_tests_says_what_it_said_before():
    """A report that was issued before there were shop tests stays current: same parts, same digest."""
    job = job_of()
    by = make_user()
    Reading.objects.create(
        job=job, step=step_of(job), asked="end_play", quantity="End play", value=D("0.2"), unit="mm", moment="as_left",
        verdict="not_checked", person=by, person_name=str(by),
    )  # fmt: skip
    told = content(job)
    assert [row["quantity"] for row in told["readings"]] == ["End play"]
    assert not {"results", "recorded", "test_notes", "tests"} & set(told)


def test_the_same_facts_have_the_same_digest_a_day_later(monkeypatch):
    """An instrument is overdue on the day of the test or not; later days change nothing."""
    job = job_of()
    Instrument.objects.create(tag="MG-1", name="insulation tester", calibration_due=timezone.localdate())
    make(job, r_1min=500, winding_c=40, instrument="MG-1")
    first = facts_digest(content(job))
    Instrument.objects.update(calibration_due=date(2020, 1, 1))
    later = timezone.now() + timedelta(days=400)
    monkeypatch.setattr(timezone, "now", lambda: later)
    assert facts_digest(content(job)) == first


def test_instruments_with_calibration_due_and_overdue_on_the_day_of_the_test():
    job = job_of()
    today = timezone.localdate()
    Instrument.objects.create(tag="MG-1", name="tester", calibration_due=today - timedelta(days=1))
    Instrument.objects.create(tag="MG-2", name="tester", calibration_due=today)
    make(job, StepKind.INCOMING_TEST, r_1min=500, winding_c=40, instrument="MG-1")
    make(job, r_1min=500, winding_c=40, instrument="MG-2")
    assert [(row["instrument"], row["overdue"]) for row in content(job)["tests"]] == [
        ("MG-1", True),
        ("MG-2", False),
    ]
    words = render_to_string("documents/_results.html", content(job))
    assert words.count("calibration overdue on the day of the test") == 1


def test_notes_that_matter_are_said_and_hints_are_not():
    job = job_of()
    make(job, r_1min=500, r_10min=100, winding_c=40)
    notes = content(job)["test_notes"]
    assert {note["severity"] for note in notes} <= {"stop", "warn"}
    assert any("falls" in note["text"].lower() or "below" in note["text"].lower() for note in notes)


def test_informational_results_stand_apart_without_a_verdict():
    job = job_of(rated_speed_rpm=("1780", "rpm", 1780), frequency_hz=("60", "Hz", 60))
    make(job, StepKind.INCOMING_TEST, "no_load", v_ab=460, v_bc=460, v_ca=460, rpm=1795, supply_hz=60)
    told = content(job)
    rows = {row["what"]: row for row in told["recorded"]}
    slip = rows["No-load run: Slip without load"]
    assert (slip["found"], slip["left"]) == ("0.278%", "")
    assert "Slip without load" not in {row["what"] for row in told["results"]}


def test_own_rows_keep_the_labels_of_the_day_when_a_lead_changes_the_sheet():
    job = job_of()
    lead = actor_for(make_user("lead"))
    rows = (
        OwnRow("", "Oil cooler leak test", "yes_no"),
        OwnRow("", "Cooler pressure", "number", "pressure", low=0, high=900_000.0),
    )
    change_sheet(
        actor=lead, kind=StepKind.FINAL_TEST, build="", version=0, tests=(TestRow("insulation"),), own=rows
    )
    from repairs.measurements.shop_tests.sheets import sheet_of

    codes = [row.code for row in sheet_of(step_of(job, StepKind.FINAL_TEST)).own]
    make(job, test=OWN, **{codes[0]: "yes", codes[1]: 300_000.0})
    before = content(job)
    assert {"what": "Oil cooler leak test", "found": "", "left": "yes"} in before["recorded"]
    assert [row["what"] for row in before["results"]] == ["Cooler pressure"]
    change_sheet(
        actor=lead, kind=StepKind.FINAL_TEST, build="", version=1, tests=(TestRow("insulation"),), own=()
    )
    assert content(job) == before


def test_a_judged_value_says_who_accepted_it():
    job = job_of()
    make(job, test="vibration", vib_top_0=1.1)
    reading = Reading.objects.get(job=job, asked="vib_top_0")
    judge_reading(
        actor=actor_for(make_user("lead", first_name="Ada", last_name="Quill")),
        reading=reading,
        reason="as smooth as when it was new",
    )
    row = rows_of(job)["Vibration, top bearing, radial 0°"]
    assert row["verdict"] == "not_checked"
    assert row["judged"] == ["No limit entered. Accepted by Ada Quill: as smooth as when it was new"]


@pytest.mark.parametrize(
    ("value", "limit", "shown"),
    [(4.99996, 5.0, "4.99996 MΩ"), (5.0, 5.0, "5 MΩ"), (5.00004, 5.0, "5.00004 MΩ"), (4.9, 5.0, "4.9 MΩ")],
)
def test_a_figure_never_rounds_across_its_limit(value, limit, shown):
    assert Written("si").beside(value, "insulation", limit, None).replace("\xa0", " ") == shown


def test_the_report_costs_as_many_queries_for_many_tests_as_for_one(django_assert_num_queries):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    job = job_of()
    make(job, r_1min=500, winding_c=40)
    job = Job.objects.with_motor().get(pk=job.pk)
    with CaptureQueriesContext(connection) as few:
        report(job, CANONICAL)
    for _n in range(3):
        make(job, StepKind.INCOMING_TEST, r_1min=400, winding_c=40)
    job = Job.objects.with_motor().get(pk=job.pk)
    with django_assert_num_queries(len(few)):
        report(job, CANONICAL)
