"""Shop tests of a job: kept with the answer of the day, filed as readings of the step, judged by what stands."""

from __future__ import annotations

from typing import Any

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Missing
from repairs.measurements.evidence import evidence_lacking
from repairs.measurements.models import Reading, TestRecord, TestSetting
from repairs.measurements.services import correct_reading
from repairs.measurements.shop_tests.codec import answer_of
from repairs.measurements.shop_tests.machine import machine_of
from repairs.measurements.shop_tests.presenting import MACHINE_WORDS, missing_words
from repairs.measurements.shop_tests.services import TestEntry, correct_test, record_test
from repairs.measurements.words import BY_CODE as WORDS
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import D, limit, plain_job, step_of

pytestmark = [pytest.mark.django_db, pytest.mark.data]
PLATE: dict[str, Any] = {
    "voltage_v": ("460", "V", 460),
    "insulation_class": ("F", "", "F"),
}


def job_of(**plate: Any) -> Job:
    TestSetting.objects.create(key="insulation.method", value="ten_degree", entered_name="shop")
    return plain_job(**{**PLATE, **plate})


def make(
    job: Job, by: Any = None, step: Step | None = None, confirmed: tuple[str, ...] = (), **values: float
) -> TestRecord:
    entry = TestEntry(test="insulation", values=values, confirmed=confirmed)
    return record_test(
        actor=actor_for(by or make_user()),
        job=job,
        step=step or step_of(job, StepKind.FINAL_TEST),
        entry=entry,
    )


def test_a_test_is_kept_with_its_answer_and_files_its_readings():
    job = job_of()
    record = make(job, r_1min=500, r_10min=1500, winding_c=25)
    assert (record.verdict, record.moment, record.machine["voltage_v"]) == ("pass", "as_left", 460)
    assert answer_of(record.answer).result("insulation").value == pytest.approx(176.78, abs=0.005)
    rows = {row.asked: row for row in record.readings.all()}
    assert set(rows) == {"insulation", "polarization_index"}
    row = rows["insulation"]
    assert (row.verdict, row.limit_low, row.unit, row.limit_sureness) == ("pass", D("5"), "MΩ", "secondary")
    assert row.value == D("176.8")
    assert "IEEE 43-2013" in row.limit_source


def test_a_test_opens_the_gate_that_asks_for_its_figure():
    job = job_of()
    step = step_of(job, StepKind.FINAL_TEST)
    lacking = " ".join(evidence_lacking(step, actor_for(make_user())))
    assert "Insulation resistance, 1 min, corrected to 40 °C: not measured yet." in lacking
    make(job, r_1min=500, winding_c=25)
    assert "Insulation" not in " ".join(evidence_lacking(step, actor_for(make_user())))


def test_a_failed_test_keeps_it_shut():
    job = job_of()
    make(job, r_1min=10, winding_c=25)
    step = step_of(job, StepKind.FINAL_TEST)
    assert "is out of limits" in " ".join(evidence_lacking(step, actor_for(make_user())))


def test_as_found_tests_are_filed_as_found():
    job = job_of()
    step = job.steps.create(position=1, kind=StepKind.INCOMING_TEST, title="test as it came")
    record = make(job, step=step, r_1min=2, winding_c=25)
    assert (record.moment, record.verdict) == ("as_found", "fail")


def test_whoever_typed_the_plate_is_not_judged_by_it():
    from repairs.motors.services import change_motor
    from tests.repairs.measurements.gate_readings import plate

    job, technician = job_of(), make_user()
    motor = change_motor(
        actor=actor_for(technician), motor=job.motor, version=job.motor.version,
        nameplate=plate(voltage_v=("480", "V", 480)),
    )  # fmt: skip
    job.motor = motor
    assert make(job, technician, r_1min=500, winding_c=25).verdict == "not_checked"
    assert make(job, r_1min=500, winding_c=25).verdict == "pass"


def test_whoever_chose_the_method_is_not_judged_where_it_decides():
    lead = make_user("lead")
    job = job_of(voltage_v=("4160", "V", 4160))
    TestSetting.objects.create(job=job, key="winding", value="random", entered_by=lead, entered_name="x")
    assert make(job, lead, r_1min=500, winding_c=40).readings.get(asked="insulation").verdict == "not_checked"
    assert make(job, r_1min=500, winding_c=40).readings.get(asked="insulation").verdict == "pass"


def test_whoever_measures_chooses_no_rule():
    job = plain_job(**{**PLATE, "voltage_v": ("4160", "V", 4160)})
    entry = TestEntry(test="insulation", values={"r_1min": 300, "winding_c": 20, "method": "thermosetting"})
    record = record_test(
        actor=actor_for(make_user()), job=job, step=step_of(job, StepKind.FINAL_TEST), entry=entry
    )
    assert "method" not in record.entries
    assert record.verdict == "not_checked"


def test_the_jobs_setting_counts_whatever_is_typed():
    job = job_of(voltage_v=("4160", "V", 4160))
    TestSetting.objects.create(job=job, key="insulation.method", value="thermosetting", entered_name="x")
    entry = TestEntry(test="insulation", values={"r_1min": 300, "winding_c": 20, "method": "ten_degree"})
    record = record_test(
        actor=actor_for(make_user()), job=job, step=step_of(job, StepKind.FINAL_TEST), entry=entry
    )
    assert record.entries["method"] == "thermosetting"


def test_a_customers_limit_goes_before_the_standards_and_names_itself():
    job = job_of()
    limit(job, asked="insulation", unit="MΩ", low=D(200), high=None)
    record = make(job, r_1min=500, winding_c=25)
    row = record.readings.get(asked="insulation")
    assert (row.verdict, row.limit_source) == ("fail", "specification: order 7")
    assert answer_of(record.answer).result("insulation").limit.level == "customer"


def test_a_doubt_is_asked_and_the_value_kept_once_confirmed():
    job = job_of()
    with pytest.raises(WorkOrderError, match="confirm it"):
        make(job, r_1min=5e8, winding_c=40)
    assert not TestRecord.objects.exists()
    record = make(job, r_1min=5e8, winding_c=40, confirmed=("ohms_typed:r_1min:500000000.0",))
    assert record.readings.get(asked="insulation").value == D("500000000")


def test_a_correction_takes_the_place_of_all_its_readings():
    job = job_of()
    first = make(job, r_1min=3, r_10min=4, winding_c=25)
    entry = TestEntry(test="insulation", values={"r_1min": 300, "winding_c": 25})
    with pytest.raises(WorkOrderError, match="why the test is corrected"):
        correct_test(actor=actor_for(make_user()), record=first, entry=entry, reason=" ")
    second = correct_test(
        actor=actor_for(make_user()), record=first, entry=entry, reason="read the wrong scale"
    )
    standing = Reading.objects.filter(job=job).standing()
    assert [(row.asked, row.verdict) for row in standing] == [("insulation", "pass")]
    assert second.readings.get().replaces == first.readings.get(asked="insulation")
    with pytest.raises(WorkOrderError, match="already corrected"):
        correct_test(actor=actor_for(make_user()), record=first, entry=entry, reason="again")


def test_a_figure_of_a_test_is_corrected_with_its_test():
    row = make(job_of(), r_1min=300, winding_c=25).readings.get(asked="insulation")
    with pytest.raises(WorkOrderError, match="Correct the test"):
        correct_reading(actor=actor_for(make_user()), reading=row, value=D(1), reason="x")


def test_a_later_table_does_not_judge_again(monkeypatch):
    from repairs.measurements.engineering.tables import insulation as table

    record = make(job_of(), r_1min=300, winding_c=25)
    monkeypatch.setattr(table, "MINIMUM_RANDOM", (1e6, table.MINIMUM_RANDOM[1]))
    assert answer_of(TestRecord.objects.get(pk=record.pk).answer).result("insulation").limit.low == 5


def test_the_plates_code_letter_reaches_the_tests():
    assert machine_of(job_of(code_letter=("g", "", "g"))).code_letter == "G"
    assert machine_of(plain_job(**PLATE)).code_letter is None


def test_all_that_a_test_asks_of_a_motor_has_a_name():
    assert set(MACHINE_WORDS) == set(Machine._fields)


def test_nothing_entered_is_refused():
    with pytest.raises(WorkOrderError, match="at least one value"):
        make(job_of())


def test_a_filed_figure_is_not_rounded_onto_or_across_its_limit():
    """4.99996 MΩ against 5 stays below 5; the digits that people read would make it 5."""
    job = job_of()
    row = make(job, r_1min=4.99996, winding_c=40).readings.get(asked="insulation")
    assert (row.verdict, row.value) == ("fail", D("4.99996"))


def test_what_a_lead_must_say_is_named_as_such():
    words = WORDS["winding_resistance"]
    assert (
        missing_words(Missing("machine.winding", "x"), words) == "Winding, random or form wound (test rules)"
    )
    assert missing_words(Missing("machine.voltage_v", "x"), words) == "Volts (nameplate)"
    assert missing_words(Missing("winding_c", "x"), words) == "Winding temperature"
    assert missing_words(Missing("standard", "x"), WORDS["vibration"]) == "Limit by (test rules)"
