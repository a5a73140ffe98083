"""The final run at the bench: rows kept while it goes on, judged at once, ended as one test of the step."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from repairs.measurements.models import RunRow, TestRecord
from repairs.measurements.shop_tests.run_services import (
    RowEntry,
    add_row,
    current_run,
    finish_run,
    rows_of,
    strike_row,
)
from repairs.measurements.shop_tests.services import TestEntry
from repairs.measurements.shop_tests.shop_services import enter_setting
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import plain_job, step_of
from tests.visible_text import visible_text

pytestmark = [pytest.mark.django_db, pytest.mark.data]
FACTS = {"top_kind": "rolling", "bottom_kind": "rolling", "uncoupled": "yes"}


def scene() -> tuple[Job, Step]:
    job = plain_job(**plate_of())
    return job, step_of(job, StepKind.FINAL_TEST)


def plate_of() -> dict[str, Any]:
    return {"rotation": ("ccw", "", "ccw")}


def read(
    job: Job, step: Step, time: str, top: float = 40.0, by: Any = None, run: int = 1, **more: Any
) -> RunRow:
    values = {"run_ambient": 22.0, "run_top": top, "run_bottom": 35.0}
    typed = {code: {"typed": f"{value:g}", "unit": "°C"} for code, value in values.items()}
    entry = RowEntry(time=time, values=values, typed=typed, facts=FACTS)
    return add_row(actor=actor_for(by or make_user(), **more), job=job, step=step, run=run, entry=entry)


def ended(job: Job, step: Step, note: str = "", confirmed: tuple[str, ...] = (), **said: Any) -> TestRecord:
    values = {**FACTS, "stopped": "completed", "rotation_top": "ccw", "ratchet": "held", **said}
    typed = {code: {"typed": value, "unit": ""} for code, value in values.items()}
    entry = TestEntry(test="run_temperatures", values=values, typed=typed, note=note, confirmed=confirmed)
    return finish_run(actor=actor_for(make_user()), job=job, step=step, run=current_run(step), entry=entry)


def client_of(user: Any) -> Client:
    client = Client()
    client.force_login(user)
    return client


def told(page: bytes) -> str:
    return " ".join(visible_text(page.decode()))


def row_url(step: Step) -> str:
    return reverse("bench:final_run", args=[step.job.number, step.pk])


def test_rows_become_one_test_in_order_of_time_whenever_they_arrived(settings):
    settings.SHOP_UNITS = "si"
    job, step = scene()
    for time, top in (("0", 22), ("60", 47.4), ("30", 47), ("90", 47.5)):
        read(job, step, time, top)
    enter_setting(
        actor=actor_for(make_user("lead")), job=job, key="run_temperatures.no_thrust_most", value="120"
    )
    record = ended(job, step)
    assert [row[0] for row in record.entries["temperatures"]] == [0, 30, 60, 90]
    assert record.verdict == "pass"
    assert {row.asked: float(row.value) for row in record.readings.all()} == {
        "rise_top": 25.5, "rise_bottom": 13, "temp_top": 47.5, "temp_bottom": 35, "no_thrust_min": 90
    }  # fmt: skip
    assert current_run(step) == 2
    assert rows_of(step, 2) == []


def test_the_tests_own_form_reads_the_kept_rows_again():
    job, step = scene()
    for time in ("0", "30", "60"):
        read(job, step, time)
    record = ended(job, step)
    client = client_of(make_user())
    page = client.get(reverse("bench:test_correct", args=[job.number, record.pk])).content.decode()
    assert "30; 22 °C; 40 °C; 35 °C; -; -; -; -" in page
    entries = {"temperatures": record.typed["temperatures"]["typed"], "reason": "wrong", **FACTS}
    answer = client.post(
        reverse("bench:test_correct", args=[job.number, record.pk]),
        {**entries, "stopped": "completed", "form_key": "k"},
    )
    assert answer.status_code == 302
    second = TestRecord.objects.get(replaces=record)
    assert second.entries["temperatures"] == record.entries["temperatures"]


def test_a_finished_run_takes_no_row_and_the_next_run_begins():
    job, step = scene()
    read(job, step, "0")
    ended(job, step, stopped="noise")
    with pytest.raises(WorkOrderError, match="finished"):
        read(job, step, "30")
    with pytest.raises(WorkOrderError, match="not begun"):
        read(job, step, "30", run=3)
    assert read(job, step, "0", run=2).run == 2


def test_a_clock_counts_from_the_first_one_across_midnight():
    job, step = scene()
    assert read(job, step, "23:40").minute == 0
    assert read(job, step, "0:10").minute == 30
    assert read(job, step, "45").minute == 45
    with pytest.raises(WorkOrderError, match=r"before the first reading \(23:40\)"):
        read(job, step, "23:30")


def test_a_time_that_is_none_and_a_second_row_of_one_time_are_refused():
    job, step = scene()
    read(job, step, "10")
    for text in ("soon", "-5", "25:00", "1e9", "nan"):
        with pytest.raises(WorkOrderError, match="no time of a run"):
            read(job, step, text)
    with pytest.raises(WorkOrderError, match="began without a clock"):
        read(job, step, "14:05")
    with pytest.raises(WorkOrderError, match="row at 10 min already"):
        read(job, step, "10")
    with pytest.raises(WorkOrderError, match="at least one temperature"):
        add_row(actor=actor_for(make_user()), job=job, step=step, run=1, entry=RowEntry(time="20", values={}))


def test_a_row_is_struck_out_once_and_stays():
    job, step = scene()
    wrong = read(job, step, "10", 400)
    strike_row(actor=actor_for(make_user()), row=wrong)
    assert rows_of(step, 1) == []
    assert RunRow.objects.count() == 2
    with pytest.raises(WorkOrderError, match="already"):
        strike_row(actor=actor_for(make_user()), row=wrong)
    assert read(job, step, "10").minute == 10


def test_a_run_stopped_for_another_reason_says_it_in_words():
    job, step = scene()
    read(job, step, "10")
    with pytest.raises(WorkOrderError, match="why the run was stopped"):
        ended(job, step, stopped="other")
    assert ended(job, step, stopped="other", note="sprinkler test").note == "sprinkler test"


def test_no_row_is_no_run():
    job, step = scene()
    with pytest.raises(WorkOrderError, match="at least one row"):
        ended(job, step)


def test_completed_before_it_is_stable_is_asked():
    job, step = scene()
    read(job, step, "0")
    with pytest.raises(WorkOrderError, match="confirm it"):
        ended(job, step)
    assert ended(job, step, confirmed=("completed_not_stable::",)).verdict == "not_checked"


def test_a_page_keeps_a_row_and_judges_it_at_once():
    _job, step = scene()
    client = client_of(make_user())
    form = {"time": "0", "run": "1", "form_key": "a", "run_ambient": "22 C", "run_top": "96 C", **FACTS}
    assert client.post(row_url(step), form).status_code == 302
    assert client.post(row_url(step), form).status_code == 302
    assert RunRow.objects.count() == 1
    text = told(client.get(row_url(step)).content)
    assert "Not stable yet" in text
    assert "Bearing limit 203" in text
    assert "not set" in text
    assert "no signed stack as built" in text
    assert "fail" in text.casefold()
    refused = client.post(row_url(step), {**form, "form_key": "b"})
    assert refused.status_code == 422
    assert "row at 0 min already" in refused.content.decode()


def test_a_tablet_without_network_sends_its_rows_later():
    job, step = scene()
    user = make_user()
    client = client_of(user)
    form = {"time": "15", "run": "1", "form_key": "later-1", "run_top": "40 C", **FACTS}
    headers = {"X-Outbox": "later", "X-Outbox-Person": str(user.pk)}
    for _again in range(2):
        assert client.post(row_url(step), form, headers=headers).json()["state"] == "done"
    assert RunRow.objects.get().minute == 15
    ended(job, step, stopped="noise")
    late = client.post(row_url(step), {**form, "time": "20", "form_key": "later-2"}, headers=headers)
    assert late.json()["state"] == "refused"
    assert "finished" in late.json()["words"]


def test_the_end_of_a_run_is_a_page_that_saves_the_test():
    job, step = scene()
    for time in ("0", "30", "60"):
        read(job, step, time)
    client = client_of(make_user())
    url = reverse("bench:final_run_finish", args=[job.number, step.pk])
    assert "3 readings" in told(client.get(url).content)
    said = {
        **FACTS,
        "stopped": "completed",
        "rotation_top": "cw",
        "ratchet": "held",
        "form_key": "f",
        "run": "1",
    }
    answer = client.post(url, said)
    record = TestRecord.objects.get()
    assert answer.url == reverse("bench:test_record", args=[job.number, record.pk])
    assert record.verdict == "fail"
    text = told(client.get(answer.url).content)
    assert "STOP. Rotation from top is clockwise (CW); the nameplate says counterclockwise (CCW)." in text
    assert "Top bearing (°" in text
    assert client.get(reverse("bench:final_run_live", args=[job.number, step.pk])).status_code == 200


def test_a_strike_on_the_page():
    job, step = scene()
    row = read(job, step, "10")
    client = client_of(make_user())
    url = reverse("bench:final_run_strike", args=[job.number, step.pk, row.pk])
    for _again in range(2):
        assert client.post(url, {"form_key": "s"}).status_code == 302
    assert rows_of(step, 1) == []


def test_the_sheet_of_the_step_leads_to_the_run():
    job, step = scene()
    job.steps.exclude(pk=step.pk).update(state=Step.State.DONE)
    page = client_of(make_user()).get(reverse("bench:reading", args=[job.number])).content.decode()
    assert row_url(step) in page
