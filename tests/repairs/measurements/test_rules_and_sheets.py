"""Rules of shop tests, sheets of steps, instruments: a lead or the engineer sets them; old versions stay."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.measurements.evidence import evidence_lacking, own_rows_lacking, required_not_measured
from repairs.measurements.models import Instrument, ReadingSheet, TestRecord, TestSetting
from repairs.measurements.shop_tests.machine import machine_of, settings_of
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.measurements.shop_tests.sheets import OWN, OwnRow, TestRow, sheet_for, sheet_of
from repairs.measurements.shop_tests.shop_services import change_sheet, enter_settings, keep_instrument
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import plain_job, step_of

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def lead() -> Any:
    return actor_for(make_user("lead"))


def own_sheet(
    *rows: OwnRow, kind: str = StepKind.FINAL_TEST, tests: tuple[TestRow, ...] = ()
) -> ReadingSheet:
    version = ReadingSheet.objects.filter(kind=kind, build="").count()
    return change_sheet(actor=lead(), kind=kind, build="", version=version, tests=tests, own=rows)


def answer(job: Job, step: Step, **values: Any) -> TestRecord:
    return record_test(
        actor=actor_for(make_user()), job=job, step=step, entry=TestEntry(test=OWN, values=values)
    )


def test_a_rule_of_the_job_goes_before_the_shops_and_can_be_taken_back():
    job = plain_job()
    enter_settings(actor=lead(), job=None, values={"insulation.method": "ten_degree"})
    assert settings_of(job)["insulation.method"].value == "ten_degree"
    enter_settings(actor=lead(), job=job, values={"insulation.method": "thermosetting", "winding": "form"})
    assert settings_of(job)["insulation.method"].value == "thermosetting"
    assert machine_of(job).winding == "form"
    enter_settings(actor=lead(), job=job, values={"insulation.method": ""})
    assert settings_of(job)["insulation.method"].value == "ten_degree"
    assert settings_of(plain_job())["insulation.method"].value == "ten_degree"


def test_only_what_changed_is_written():
    job = plain_job()
    assert enter_settings(actor=lead(), job=job, values={"winding": "form", "vibration.standard": ""}) == 1
    assert enter_settings(actor=lead(), job=job, values={"winding": "form", "vibration.standard": ""}) == 0
    assert Event.objects.filter(verb="test_setting.entered").count() == 1


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"insulation.method": "guess"}, "from the list"),
        ({"nothing": "x"}, "from the list"),
        ({"balance.grade_mm_s": "100000.0"}, "out of range"),
    ],
)
def test_a_rule_that_is_none_is_refused(values: dict[str, str], words: str) -> None:
    with pytest.raises(WorkOrderError, match=words):
        enter_settings(actor=lead(), job=None, values=values)
    assert not TestSetting.objects.exists()


def test_a_technician_sets_no_rule_no_sheet_no_instrument():
    worker = actor_for(make_user())
    with pytest.raises(WorkOrderError, match="Only a lead"):
        enter_settings(actor=worker, job=None, values={"winding": "form"})
    with pytest.raises(WorkOrderError, match="Only a lead"):
        change_sheet(actor=worker, kind=StepKind.CLEAN, build="", version=0, tests=(), own=())
    with pytest.raises(WorkOrderError, match="Only a lead"):
        keep_instrument(actor=worker, instrument=None, version=0, tag="A", name="b", calibration_due=None)


def test_a_sheet_is_versioned_and_a_stale_change_is_refused():
    own_sheet(OwnRow("", "Oil level at mark", "yes_no"))
    newer = own_sheet(OwnRow("", "Oil level at mark", "yes_no"), OwnRow("", "Oil level at mark", "yes_no"))
    assert [row["code"] for row in newer.rows] == ["oil_level_at", "oil_level_at_2"]
    assert [row.version for row in ReadingSheet.objects.order_by("version")] == [1, 2]
    assert ReadingSheet.objects.current().get() == newer
    with pytest.raises(StaleVersionError):
        change_sheet(actor=lead(), kind=StepKind.FINAL_TEST, build="", version=1, tests=(), own=())


def test_the_sheet_of_a_build_goes_before_that_for_all():
    own_sheet(OwnRow("a", "For all"))
    change_sheet(
        actor=lead(),
        kind=StepKind.FINAL_TEST,
        build="vertical_solid",
        version=0,
        tests=(),
        own=(OwnRow("b", "Solid"),),
    )
    for build, code in (("vertical_solid", "b"), ("vertical_hollow", "a"), ("horizontal", "a")):
        found = sheet_for(StepKind.FINAL_TEST, build)
        assert found is not None
        assert [row.code for row in found.own] == [code]


@pytest.mark.parametrize(
    ("tests", "own", "words"),
    [
        ((TestRow("nothing"),), (), "Choose a test"),
        ((TestRow("insulation", ("runout",)),), (), "results of its test"),
        ((), (OwnRow("x", " "),), "what the row asks for"),
        ((), (OwnRow("x", "Row", quantity="parsecs"),), "Choose a unit"),
        ((), (OwnRow("x", "Row", low=2, high=1),), "Swap them"),
        ((), tuple(OwnRow(f"r{n}", f"Row {n}") for n in range(41)), "too many"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(tests: Any, own: Any, words: str) -> None:
    with pytest.raises(WorkOrderError, match=words):
        change_sheet(actor=lead(), kind=StepKind.CLEAN, build="", version=0, tests=tests, own=own)


def test_a_required_row_keeps_the_step_until_it_is_answered_as_it_must_be():
    own_sheet(OwnRow("ratchet", "Ratchet holds", "yes_no", must="yes", required=True))
    job = plain_job()
    step = step_of(job, StepKind.FINAL_TEST)
    worker = actor_for(make_user())
    assert own_rows_lacking(step, worker) == ["Ratchet holds: not answered yet."]
    assert answer(job, step, ratchet="no").verdict == "fail"
    assert "answered no" in own_rows_lacking(step, worker)[0]
    answer(job, step, ratchet="yes")
    assert own_rows_lacking(step, worker) == []


def test_a_number_of_the_shops_own_is_held_to_its_limits():
    own_sheet(OwnRow("oil_c", "Oil", quantity="temperature", low=10, high=60))
    job = plain_job()
    step = step_of(job, StepKind.FINAL_TEST)
    record = answer(job, step, oil_c=61.0)
    row = record.readings.get()
    assert (row.quantity, row.verdict, row.limit_source) == (
        "Oil",
        "fail",
        "shop sheet, final test, version 1",
    )


def test_what_a_sheet_requires_of_the_final_test_must_pass():
    own_sheet(tests=(TestRow("insulation", ("polarization_index",)),))
    job = plain_job(voltage_v=("460", "V", 460), insulation_class=("F", "", "F"))
    step, worker = step_of(job, StepKind.FINAL_TEST), actor_for(make_user())
    assert "Polarization index" in " ".join(evidence_lacking(step, worker))
    entry = TestEntry(test="insulation", values={"r_1min": 500, "r_10min": 1500, "winding_c": 40})
    record_test(actor=worker, job=job, step=step, entry=entry)
    assert "Polarization index" not in " ".join(evidence_lacking(step, worker))


def test_what_a_sheet_requires_as_found_is_measured_and_may_fail():
    own_sheet(kind=StepKind.INCOMING_TEST, tests=(TestRow("insulation", ("insulation",)),))
    job = plain_job(voltage_v=("460", "V", 460))
    step = job.steps.create(position=1, kind=StepKind.INCOMING_TEST, title="as it came")
    worker = actor_for(make_user())
    assert len(required_not_measured(step, worker)) == 1
    entry = TestEntry(test="insulation", values={"r_1min": 1, "winding_c": 40})
    assert record_test(actor=worker, job=job, step=step, entry=entry).verdict == "fail"
    assert required_not_measured(step, worker) == []


def test_no_sheet_takes_anything_off_the_list_of_its_kind():
    own_sheet(OwnRow("x", "X"))
    step = step_of(plain_job(), StepKind.FINAL_TEST)
    assert "not measured yet" in " ".join(evidence_lacking(step, actor_for(make_user())))


def test_a_test_keeps_the_calibration_of_its_instrument_of_that_day():
    due = timezone.localdate() - timedelta(days=3)
    row = keep_instrument(
        actor=lead(), instrument=None, version=0, tag="MEG-1", name="tester", calibration_due=due
    )
    job = plain_job(voltage_v=("460", "V", 460))
    entry = TestEntry(test="insulation", values={"r_1min": 1}, instrument="MEG-1")
    record = record_test(
        actor=actor_for(make_user()), job=job, step=step_of(job, StepKind.FINAL_TEST), entry=entry
    )
    keep_instrument(
        actor=lead(), instrument=row, version=1, tag="MEG-1", name="tester", calibration_due=date(2040, 1, 1)
    )
    assert TestRecord.objects.get(pk=record.pk).calibration_due == due
    with pytest.raises(StaleVersionError):
        keep_instrument(actor=lead(), instrument=row, version=1, tag="M", name="t", calibration_due=None)
    with pytest.raises(WorkOrderError, match="Another instrument"):
        keep_instrument(actor=lead(), instrument=None, version=0, tag="MEG-1", name="t", calibration_due=None)
    assert Instrument.objects.count() == 1


def test_the_page_of_rules_is_kept_by_a_lead_and_shown_to_others(client: Client) -> None:
    job = plain_job()
    url = reverse("bench:job_rules", args=[job.number])
    client.force_login(make_user())
    assert "Temperature correction" in client.get(url).content.decode()
    assert client.post(url, {"winding": "form", "form_key": "a"}).status_code == 403
    client.force_login(make_user("lead", units="us"))
    fields = {"winding": "form", "oven.set_c": "300", "balance.grade_mm_s": "2.5", "form_key": "b"}
    assert client.post(url, fields).status_code == 302
    kept = settings_of(job)
    assert kept["winding"].value == "form"
    assert float(kept["oven.set_c"].value) == pytest.approx(148.889, abs=0.001)
    assert 'value="300"' in client.get(url).content.decode()
    refused = client.post(url, {"oven.set_c": "9000", "form_key": "c"})
    assert refused.status_code == 422
    assert "out of range" in refused.content.decode()


def test_the_standard_sheet_stands_where_nobody_made_one():
    step = step_of(plain_job(), StepKind.FINAL_TEST)
    found = sheet_of(step)
    assert found is not None
    assert found.version == 0
    assert "vibration" in [row.test for row in found.tests]
