"""At the bench: find a job, read its cautions, sign its next step, hand it over."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.measurements.models import Reading
from repairs.work_orders.cautions import CAUTIONS, cautions_for
from repairs.work_orders.models import CautionRead, HandOver, Job, SignOff, Step, StepKind, WorkPeriod
from repairs.work_orders.page_state import newest_event
from repairs.work_orders.services.route import sign_off
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.signed_stacks import approved, laid_out

pytestmark = pytest.mark.django_db


def signed_in(user: Any = None) -> Client:
    client = Client()
    client.force_login(user or make_user())
    return client


def show(client: Client, job: Job) -> str:
    return client.get(reverse("bench:job", args=[job.number])).content.decode()


def key_of(html: str) -> str:
    return re.search(r'name="form_key" value="(\w+)"', html)[1]


def press(client: Client, job: Job, do: str, step: Step | None = None, **fields: str) -> Any:
    step = step or job.steps.filter(state=Step.State.WAITING).first()
    key = fields.pop("form_key", "") or key_of(show(client, job))
    return client.post(
        reverse("bench:step", args=[job.number, step.pk]),
        {"do": do, "form_key": key, "cautions": "read", "seen": newest_event(job), **fields},
    )


def at_step(kind: str) -> Job:
    """A job whose earlier steps are done."""
    job = make_job()
    position = job.steps.get(kind=kind).position
    job.steps.filter(position__lt=position).update(state=Step.State.DONE)
    return job


def test_a_step_that_cannot_be_signed_leads_from_the_bar_to_what_is_missing():
    html = show(signed_in(), at_step(StepKind.STRIP_RECORD))
    assert 'id="not-yet"' in html
    assert 'href="#not-yet"' in html.partition('class="bench__bar')[2]
    assert "#not-yet" not in show(signed_in(), make_job())


@pytest.mark.parametrize("name", ["shop_test", "stack_new_item"])
def test_what_keeps_an_entry_lies_where_every_page_has_its_act_and_the_way_back_at_the_other_end(name):
    record = make_stack_record()
    step = record.job.steps.first()
    more = [record.stage, "spacer"] if name == "stack_new_item" else [step.pk, "insulation"]
    html = signed_in().get(reverse(f"bench:{name}", args=[record.job.number, *more])).content.decode()
    bar = html.partition('class="bench__bar')[2]
    assert 0 < bar.index("Back without saving") < bar.index("button--main")


def test_a_time_is_written_on_a_clock_of_12_hours_in_a_us_shop():
    client, job = signed_in(), make_job()
    press(client, job, "start")
    period = WorkPeriod.objects.get()
    period.started_at = period.started_at.replace(hour=16, minute=5)
    period.save()
    assert "clocked in since 4:05 PM" in show(client, job)


def test_a_part_of_the_number_opens_the_one_job_that_has_it():
    job, _other = make_job(), make_job()
    answer = signed_in().get(reverse("bench:home"), {"number": job.number[-3:]})
    assert answer.url == reverse("bench:job", args=[job.number])


def test_several_jobs_are_shown_as_one_types_and_none_is_said_in_words():
    jobs = [make_job(), make_job()]
    client = signed_in()
    found = client.get(reverse("bench:home"), {"number": "26-"}, headers={"HX-Request": "true"})
    html = found.content.decode()
    assert "<html" not in html
    assert all(job.number in html for job in jobs)
    none = client.get(reverse("bench:home"), {"number": "99-9999"}).content.decode()
    assert "No job “99-9999”" in none


def test_the_jobs_that_a_person_worked_on_come_first():
    old, mine, user = make_job(), make_job(), make_user()
    sign_off(actor=actor_for(user), step=mine.steps.first())
    html = signed_in(user).get(reverse("bench:home")).content.decode()
    worked, others = html.split("Other open jobs")
    assert mine.number in worked
    assert old.number in others


def test_the_next_step_is_signed_once_by_the_person_who_pressed():
    job, user = make_job(), make_user()
    client = signed_in(user)
    key, seen = key_of(show(client, job)), str(newest_event(job))
    step = job.steps.first()
    for _again in range(2):
        answer = press(client, job, "sign", step, form_key=key, note="tag on eye bolt", seen=seen)
        assert answer.status_code == 302
    signature = SignOff.objects.get()
    assert (signature.person, signature.note, signature.signed_as) == (user, "tag on eye bolt", "worker")


def test_cautions_are_read_once_before_a_step_is_begun_or_signed():
    job, user = make_job(), make_user()
    client = signed_in(user)
    assert "I have read these cautions" in show(client, job)
    refused = press(client, job, "sign", cautions="", note="kept")
    assert refused.status_code == 422
    assert "Read the cautions of this step first" in refused.content.decode()
    assert 'value="kept"' in refused.content.decode()
    assert press(client, job, "start").status_code == 302
    assert "I have read these cautions" not in show(client, job)
    assert press(client, job, "sign", cautions="").status_code == 302
    assert CautionRead.objects.get().person == user
    assert "I have read these cautions" in show(signed_in(), make_job())


def test_the_clock_of_a_step_is_started_and_stopped_at_the_bench():
    job, user = make_job(), make_user()
    client = signed_in(user)
    assert "Clock in" in show(client, job)
    press(client, job, "start")
    html = show(client, job)
    assert "clocked in since" in html
    assert "clocked in:" in show(client, make_job())
    press(client, job, "stop", cautions="")
    assert WorkPeriod.objects.get().ended_at is not None
    assert "clocked in since" not in show(client, job)


def test_a_step_asks_for_what_belongs_to_it_and_says_how_far_it_is():
    job = at_step(StepKind.LAY_OUT)
    html = show(signed_in(), job)
    assert "Check dry layout" in html
    assert "not laid out yet" in html
    approved(job)
    laid_out(job)
    html = show(signed_in(), job)
    assert "as specified, revision 1" in html
    assert "asks__done" in html


def test_a_hand_over_names_whose_lock_it_is_what_comes_next_and_whom_it_is_meant_for():
    job, writer, taker = make_job(), make_user(), make_user(first_name="Noor", last_name="Vance")
    url = reverse("bench:hand_over", args=[job.number])
    body = {
        "done": "Stack is off",
        "lock_of": "lock 12, Tech One",
        "next_action": "count the springs",
        "form_key": "w",
    }
    assert signed_in(writer).post(url, {**body, "meant_for": str(taker.pk)}).status_code == 302
    html = show(signed_in(taker), job)
    for words in (
        "for Noor Vance",
        "lock 12, Tech One",
        "count the springs",
        "Only its owner removes it",
    ):
        assert words in html
    own = signed_in(writer).post(url, {**body, "meant_for": str(writer.pk), "form_key": "v"})
    assert own.status_code == 422
    assert "to someone else" in own.content.decode()


def test_a_step_that_may_not_be_signed_says_why_and_keeps_the_note():
    job = at_step(StepKind.MOUNT)
    client = signed_in()
    html = show(client, job)
    assert "No lead has approved a specified stack yet." in html
    assert re.search(r'value="sign" disabled', html)
    answer = press(client, job, "sign", note="heated to touch")
    assert answer.status_code == 422
    assert "heated to touch" in answer.content.decode()
    assert not SignOff.objects.filter(step__job=job).exists()


def test_only_a_lead_leaves_a_step_out_lets_it_pass_or_repeats_it():
    job = at_step(StepKind.WINDING)
    job.steps.filter(kind=StepKind.APPROVAL).update(state=Step.State.SKIPPED)
    technician, lead = signed_in(), signed_in(make_user("lead"))
    assert "Override (reason above)" not in show(technician, job)
    for do in ("skip", "override", "repeat"):
        assert press(technician, job, do, note="because").status_code == 403
    assert "Override (reason above)" in show(lead, job)
    assert press(lead, job, "override").status_code == 422
    assert press(lead, job, "override", note="goodwill, spoken with the owner").status_code == 302
    assert press(technician, job, "sign").status_code == 302


def test_no_button_lets_a_stack_pass_that_nobody_verified():
    html = show(signed_in(make_user("lead")), at_step(StepKind.END_PLAY))
    assert "Override (reason above)" not in html
    assert "Skip step" not in html


def test_a_step_is_done_again_with_a_reason():
    job, lead = at_step(StepKind.WINDING), signed_in(make_user("lead"))
    first = job.steps.first()
    assert press(lead, job, "repeat", first, note="tag was torn off").status_code == 302
    assert job.steps.filter(kind=first.kind).count() == 2


def test_the_second_person_signs_as_such():
    job = make_job()
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    assert "Sign as second person" in show(signed_in(), _standing_at(job, step))


def _standing_at(job: Job, step: Step) -> Job:
    job.steps.filter(position__lt=step.position).update(state=Step.State.DONE)
    return job


def test_a_hand_over_is_written_once_and_taken_over_by_somebody_else():
    job, writer, taker = make_job(), make_user(), make_user()
    url = reverse("bench:hand_over", args=[job.number])
    body = {"done": "Ring still hot", "danger": "crane holds the rotor", "form_key": "w"}
    for _again in range(2):
        assert signed_in(writer).post(url, body).status_code == 302
    note = HandOver.objects.get()
    assert "Accept handoff" not in show(signed_in(writer), job)
    html = show(signed_in(taker), job)
    assert "crane holds the rotor" in html
    assert signed_in(taker).post(url, {"accept": str(note.pk), "form_key": "t"}).status_code == 302
    note.refresh_from_db()
    assert note.accepted_by == taker


def test_a_hand_over_without_words_is_refused_and_keeps_the_rest():
    job = make_job()
    answer = signed_in().post(
        reverse("bench:hand_over", args=[job.number]), {"done": " ", "parts_lie": "bench 4", "form_key": "x"}
    )
    assert answer.status_code == 422
    assert 'value="bench 4"' in answer.content.decode()


def test_a_reading_is_kept_once_and_a_wrong_one_is_refused_beside_its_field():
    job, client = make_job(), signed_in()
    url = reverse("bench:reading", args=[job.number])
    body = {"quantity": "insulation", "value": "550", "unit": "MΩ", "moment": "as_found", "form_key": "r"}
    refused = client.post(url, {**body, "value": "lots"})
    assert refused.status_code == 422
    assert "“lots” is not a number" in refused.content.decode()
    for _again in range(2):
        assert client.post(url, body).status_code == 302
    assert Reading.objects.get().step == job.steps.first()


def test_every_step_where_work_can_hurt_somebody_carries_a_caution_that_defers():
    for kind in (
        StepKind.RECEIVE,
        StepKind.INCOMING_TEST,
        StepKind.STRIP_RECORD,
        StepKind.CLEAN,
        StepKind.WINDING,
        StepKind.MACHINING,
        StepKind.BALANCE,
        StepKind.MOUNT,
        StepKind.END_PLAY,
        StepKind.FINAL_TEST,
        StepKind.SHIP,
    ):
        assert cautions_for(kind), kind
    assert {caution.signal for row in CAUTIONS.values() for caution in row} <= {
        "danger",
        "warning",
        "caution",
        "notice",
    }
    job = make_job()
    job.steps.filter(kind=StepKind.RECEIVE).update(kind=StepKind.CLEAN)
    html = show(signed_in(), job)
    assert "A bearing spun with compressed air can fly apart" in html
    assert "Local codes" in html


def test_the_jobs_page_asks_as_much_of_a_long_route_as_of_a_short_one():
    client, counts = signed_in(), []
    for more in (0, 10):
        job = make_job()
        for n in range(more):
            Step.objects.create(job=job, position=1000 + n, title="more", kind=StepKind.OTHER)
        make_stack_record(job)
        with CaptureQueriesContext(connection) as seen:
            show(client, job)
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_a_reading_is_told_whether_it_passes_and_is_corrected_once_with_a_reason():
    job, client = make_job(), signed_in()
    url = reverse("bench:reading", args=[job.number])
    body = {"quantity": "end play", "value": "0.31", "unit": "mm", "moment": "as_found", "form_key": "r"}
    limits = {"limit_high": "0.25", "limit_source": "drawing 4711"}
    told = client.post(url, {**body, **limits}, follow=True).content.decode()
    assert "out of limits" in told
    first = Reading.objects.get()
    assert "end play: 0.31 mm" in client.get(url).content.decode()
    correct = reverse("bench:reading_correct", args=[job.number, first.pk])
    shown = client.get(correct).content.decode()
    assert "at most 0.25 mm (drawing 4711)" in shown
    assert 'name="limit_high"' not in shown
    refused = client.post(correct, {"value": "0.21", "reason": " ", "form_key": "c"})
    assert refused.status_code == 422
    right = {"value": "0.21", "reason": "gauge was not zeroed", "form_key": "d"}
    for _twice in range(2):
        assert client.post(correct, right).status_code == 302
    assert client.post(correct, {**right, "form_key": "e"}).status_code == 422
    newer = Reading.objects.get(replaces=first)
    assert (newer.verdict, newer.note, newer.quantity) == ("pass", "gauge was not zeroed", "end play")
    page = client.get(url).content.decode()
    assert "0.21 mm" in page
    assert "0.31 mm" not in page
