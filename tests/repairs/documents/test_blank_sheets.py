"""Blank rows of the open steps on the traveler: what is asked, in which unit, against which limit."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from repairs.documents.content.blank_sheets import adds_nothing
from repairs.documents.content.papers import traveler
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.models import IssuedDocument
from repairs.documents.services import issue_document
from repairs.documents.serving import standing
from repairs.measurements.engineering.subjects import SUBJECTS
from repairs.measurements.limit_services import enter_limit
from repairs.measurements.shop_tests.sheets import OwnRow, TestRow
from repairs.measurements.shop_tests.shop_services import change_sheet
from repairs.measurements.words import BY_CODE as WORDS
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import plain_job

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def job_of() -> Job:
    job = plain_job(voltage_v=("460", "V", 460), insulation_class=("F", "", "F"))
    return Job.objects.with_motor().get(pk=job.pk)


def content(job: Job, units: str = "si") -> dict[str, Any]:
    told = traveler(job, Reader("en", "us" if units == "us" else "si"))
    return json.loads(json.dumps(told, ensure_ascii=False).replace("\u00a0", " "))


def sheets_of(job: Job, units: str = "si") -> dict[str, Any]:
    return {sheet["title"]: sheet for sheet in content(job, units)["sheets"]}


def blanks_of(job: Job, title: str = "Final test", units: str = "si") -> dict[str, Any]:
    return {test["title"]: test for test in sheets_of(job, units)[title]["tests"]}


def test_each_open_step_has_its_tests_with_units_boxes_and_limits():
    job = job_of()
    assert list(sheets_of(job)) == ["Strip down, record as found", "Winding", "Set end play", "Final test"]
    test = blanks_of(job)["Insulation resistance"]
    fields = {field["label"]: field for field in test["fields"]}
    assert (fields["1 min"]["unit"], fields["Winding temperature"]["unit"]) == ("MΩ", "°C")
    limits = {row["what"]: row for row in test["limits"]}
    row = limits["Insulation resistance, 1 min, corrected to 40 °C"]
    assert row["limit"] == "at least 5 MΩ"
    assert row["source"].count("as restated in a secondary copy") == 1
    boxes = {field["label"]: field["boxes"] for field in blanks_of(job)["Winding resistance"]["fields"]}
    assert boxes["Conductor"] == ["copper", "aluminum"]


def test_the_readers_units_stand_beside_the_blanks():
    fields = blanks_of(job_of(), units="us")["Insulation resistance"]["fields"]
    assert {field["label"]: field["unit"] for field in fields}["Winding temperature"] == "°F"


def test_rows_of_the_shops_own_and_a_series_are_there_to_write_in():
    tests = blanks_of(job_of())
    own = [field["label"] for field in tests["Other entries of this step"]["fields"]]
    assert "No oil leaks" in own
    (series,) = tests["Run temperatures"]["series"]
    assert series["rows"][0] == "Time since start, min"
    words = render_to_string("documents/_sheets.html", content(job_of()))
    assert '<th scope="row">Time since start, min</th>' in words
    assert "Step 4: " not in words


def test_what_a_lead_decides_is_not_asked_on_paper_either():
    labels = {field["label"] for test in blanks_of(job_of()).values() for field in test["fields"]}
    rules = {
        str(WORDS[one.code].fields[field.code]) for one in SUBJECTS for field in one.fields if field.rule
    }
    assert rules
    assert not labels & rules


def test_a_done_or_skipped_step_asks_for_nothing():
    job = job_of()
    job.steps.filter(kind=StepKind.FINAL_TEST).update(state=Step.State.DONE)
    job.steps.filter(kind=StepKind.WINDING).update(state=Step.State.SKIPPED)
    assert list(sheets_of(job)) == ["Strip down, record as found", "Set end play"]
    job.steps.update(state=Step.State.DONE)
    assert "sheets" not in content(job)


def test_a_customers_limit_stands_before_the_standards():
    job = job_of()
    enter_limit(
        actor=actor_for(make_user("lead")), job=job, asked="insulation", unit="MΩ", low=Decimal(200), high=None,
        source="order 7",
    )  # fmt: skip
    row = blanks_of(job)["Insulation resistance"]["limits"][0]
    assert (row["limit"], row["source"]) == ("at least 200 MΩ", "specification: order 7")


def printed(job: Job) -> IssuedDocument:
    return issue_document(
        actor=actor_for(make_user("lead")), job=job, kind="traveler", paper="letter", language="en", units="us",
        now=timezone.now(),
    )  # fmt: skip


def test_a_paper_holds_while_steps_are_done_and_not_when_a_lead_asks_for_more():
    job = job_of()
    document = printed(job)
    assert standing(document)["state"] == "current"
    job.steps.filter(kind=StepKind.RECEIVE).update(state=Step.State.DONE)
    job.steps.filter(kind=StepKind.STRIP_RECORD).update(state=Step.State.DONE)
    document = IssuedDocument.objects.with_job().get(pk=document.pk)
    assert standing(document)["state"] == "added_to"
    change_sheet(
        actor=actor_for(make_user("lead")), kind=StepKind.FINAL_TEST, build="", version=0,
        tests=(TestRow("insulation"),), own=(OwnRow("", "Cooler leak test", "yes_no"),),
    )  # fmt: skip
    told = standing(document)
    assert told["state"] == "superseded"
    assert "tests of the open steps" in told["changed"]


def test_a_paper_from_before_there_were_blank_rows_stays_current(monkeypatch):
    job = job_of()
    with monkeypatch.context() as before:
        before.setattr("repairs.documents.content.blank_sheets.sheets_part", lambda *_asked: {})
        document = printed(job)
    assert "sheets" not in document.content
    assert standing(IssuedDocument.objects.with_job().get(pk=document.pk))["state"] == "current"
    assert printed(job).revision == 2


def test_only_sheets_that_are_still_asked_for_count():
    assert adds_nothing([{"no": "1"}, {"no": "2"}], [{"no": "2"}])
    assert not adds_nothing([{"no": "1"}], [{"no": "2"}])


def test_the_sheets_cost_the_same_queries_for_one_step_as_for_all():
    job = job_of()
    with CaptureQueriesContext(connection) as all_steps:
        traveler(job, CANONICAL)
    job.steps.exclude(kind=StepKind.END_PLAY).update(state=Step.State.DONE)
    with CaptureQueriesContext(connection) as one_step:
        traveler(job, CANONICAL)
    # The end play of the other sheet is predicted once more.
    assert len(all_steps) - len(one_step) <= 2
