"""Entries that waited on a tablet: carried out once, under their author's name alone, refused with both versions."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.bench.kept_pages import SHELL, pages_of_today, worker_script
from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.people.models import User
from repairs.work_orders.models import HandOver, Job, JobPhoto, SignOff, Stage
from repairs.work_orders.page_state import newest_event
from repairs.work_orders.services.holds import write_hand_over
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.stack_editing import turn_over
from repairs.work_orders.services.stack_signing import freeze
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file

pytestmark = [pytest.mark.django_db, pytest.mark.data]
MADE_AT = "2026-11-25T07:40:00+00:00"
READING = {"quantity": "Insulation resistance", "value": "120", "unit": "MΩ", "moment": "as_found"}


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def send(user: User, url: str, fields: dict[str, Any], *, how: str = "later", author: Any = None) -> Any:
    headers = {"X-Outbox": how, "X-Outbox-Person": str(author or user.pk), "X-Made-At": MADE_AT}
    return signed_in(user).post(url, fields, headers=headers)


def reading_url(job: Job) -> str:
    return reverse("bench:reading", args=[job.number])


def act_url(job: Job) -> str:
    return reverse("bench:stack_act", args=[job.number, Stage.AS_FOUND])


def test_a_reading_that_arrives_twice_is_kept_once_and_answered_alike():
    user, job = make_user(), make_job()
    fields = {**READING, "form_key": "k1"}
    first, second = (send(user, reading_url(job), fields) for _ in range(2))
    assert first.status_code == second.status_code == 200
    assert first.json()["state"] == second.json()["state"] == "done"
    assert first.json()["url"] == second.json()["url"] == reverse("bench:job", args=[job.number])
    assert Reading.objects.count() == 1


def test_the_device_s_time_stands_in_the_event_beside_the_server_s():
    user, job = make_user(), make_job()
    send(user, reading_url(job), {**READING, "form_key": "k1"})
    event = Event.objects.get(verb="reading.recorded")
    assert event.after["made_at"] == MADE_AT
    assert event.at.isoformat() > MADE_AT


def test_a_time_that_is_none_is_left_out():
    user, job = make_user(), make_job()
    headers = {"X-Outbox": "later", "X-Outbox-Person": str(user.pk), "X-Made-At": "yesterday"}
    signed_in(user).post(reading_url(job), {**READING, "form_key": "k1"}, headers=headers)
    assert "made_at" not in Event.objects.get(verb="reading.recorded").after


def test_other_contents_under_a_used_key_are_refused_with_the_reason():
    user, job = make_user(), make_job()
    send(user, reading_url(job), {**READING, "form_key": "k1"})
    answer = send(user, reading_url(job), {**READING, "value": "90", "form_key": "k1"})
    assert answer.status_code == 422
    assert answer.json()["state"] == "refused"
    assert "other entries" in answer.json()["words"]
    assert Reading.objects.get().value == 120


def test_a_refused_reading_names_every_wrong_field():
    user, job = make_user(), make_job()
    answer = send(user, reading_url(job), {**READING, "value": "12,5", "unit": "", "form_key": "k1"})
    assert answer.json()["state"] == "refused"
    assert "Value: “12,5” has a comma before its decimals. Enter 12.5." in answer.json()["words"]
    assert "Unit: " in answer.json()["words"]
    assert "page" not in answer.json()


def test_at_the_form_the_refusal_comes_as_the_page_with_what_was_typed():
    user, job = make_user(), make_job()
    answer = send(user, reading_url(job), {**READING, "value": "12,5", "form_key": "k1"}, how="at-once")
    assert 'value="12,5"' in answer.json()["page"]
    assert "<main" in answer.json()["page"]


def test_nothing_is_carried_out_under_another_name():
    author, other, job = make_user(), make_user(), make_job()
    answer = send(other, reading_url(job), {**READING, "form_key": "k1"}, author=author.pk)
    assert answer.status_code == 403
    assert answer.json()["state"] == "other_person"
    assert Reading.objects.count() == 0


def test_somebody_signed_out_is_told_so_in_json_not_by_the_sign_in_page():
    job = make_job()
    answer = Client().post(reading_url(job), READING, headers={"X-Outbox": "later", "X-Outbox-Person": "1"})
    assert answer.status_code == 401
    assert answer.json()["state"] == "signed_out"
    token = Client().get(reverse("bench:outbox_token"), headers={"X-Outbox": "later"})
    assert token.status_code == 401


def test_who_is_signed_in_and_the_token_come_from_one_small_address():
    user = make_user()
    answer = signed_in(user).get(reverse("bench:outbox_token"), headers={"X-Outbox": "later"}).json()
    assert answer["person"] == user.pk
    assert len(answer["token"]) > 30


def test_the_token_is_asked_for_a_queued_entry_too():
    user, job = make_user(), make_job()
    client = Client(enforce_csrf_checks=True)
    client.force_login(user)
    token = client.get(reverse("bench:outbox_token"), headers={"X-Outbox": "later"}).json()["token"]
    headers = {"X-Outbox": "later", "X-Outbox-Person": str(user.pk)}
    fields = {**READING, "form_key": "k1"}
    assert client.post(reading_url(job), fields, headers=headers).status_code == 403
    assert Reading.objects.count() == 0
    answer = client.post(reading_url(job), fields, headers={**headers, "X-CSRFToken": token})
    assert answer.json()["state"] == "done"


def test_a_role_that_may_not_is_refused_in_words():
    office, job = make_user("office"), make_job()
    answer = send(office, reading_url(job), {**READING, "form_key": "k1"})
    assert answer.status_code == 422
    assert "role" in answer.json()["words"]


def test_what_an_entry_belongs_to_may_be_gone():
    user = make_user()
    url = reverse("bench:reading", args=["26-9999"])
    assert "no longer exists" in send(user, url, {**READING, "form_key": "k1"}).json()["words"]


def test_a_late_sign_off_learns_who_signed_before():
    mine, other, job = make_user(), make_user(first_name="Invented", last_name="Other"), make_job()
    step = job.steps.first()
    sign_off(actor=actor_for(other), step=step)
    url = reverse("bench:step", args=[job.number, step.pk])
    answer = send(mine, url, {"do": "sign", "cautions": "read", "form_key": "k1"}).json()
    assert answer["state"] == "conflict"
    assert "already signed off" in answer["words"]
    assert any("Invented Other" in line for line in answer["theirs"])
    assert SignOff.objects.count() == 1


def test_a_sign_off_and_a_note_arrive_twice_and_count_once():
    user, job = make_user(), make_job()
    step = job.steps.first()
    signed = {"do": "sign", "cautions": "read", "form_key": "k1", "seen": str(newest_event(job))}
    for _ in range(2):
        url = reverse("bench:step", args=[job.number, step.pk])
        assert send(user, url, signed).json()["state"] == "done"
        note = {"done": "Half of the coils are in.", "form_key": "k2"}
        answer = send(user, reverse("bench:hand_over", args=[job.number]), note)
        assert answer.json()["state"] == "done"
    assert (SignOff.objects.count(), HandOver.objects.count()) == (1, 1)


def test_a_photo_arrives_twice_and_is_kept_once():
    user, job = make_user(), make_job()
    for _ in range(2):
        fields = {"files": picture_file(), "caption": "top of the mount", "stage": "", "form_key": "k1"}
        answer = send(user, reverse("bench:photos", args=[job.number]), fields)
        assert answer.json()["state"] == "done"
    assert JobPhoto.objects.get().photo.caption == "top of the mount"


def test_a_photo_that_cannot_be_read_comes_back_with_the_reason():
    user, job = make_user(), make_job()
    broken = picture_file()
    broken.file.truncate(40)
    fields = {"files": broken, "stage": "", "form_key": "k1"}
    answer = send(user, reverse("bench:photos", args=[job.number]), fields).json()
    assert answer["state"] == "refused"
    assert "is incomplete" in answer["words"]
    assert JobPhoto.objects.count() == 0


def turn(user: User, job: Job, uid: str, version: int, key: str) -> dict[str, Any]:
    answer = send(user, act_url(job), {"do": f"turn:{uid}", "version": str(version), "form_key": key})
    found: dict[str, Any] = answer.json()
    return found


def test_each_act_says_which_version_it_made_also_when_it_arrives_again_after_others():
    mine, other = make_user(), make_user()
    record = make_stack_record()
    assert turn(mine, record.job, "b1", 1, "k1")["version"] == 2
    turn_over(actor=actor_for(other), record=record, version=2, uid="b2")
    again = turn(mine, record.job, "b1", 1, "k1")
    assert (again["state"], again["version"]) == ("done", 2)
    record.refresh_from_db()
    assert [one["data"].get("wide_face") for one in record.items[1:4]] == ["up", "up", "up"]


def test_an_act_that_arrives_again_after_the_record_was_signed_is_still_done():
    mine, other = make_user(), make_user()
    record = make_stack_record()
    turn(mine, record.job, "b1", 1, "k1")
    record.refresh_from_db()
    freeze(record, actor=actor_for(other), verb="stack.signed", after={}, form_key="s")
    assert turn(mine, record.job, "b1", 1, "k1")["state"] == "done"
    late = turn(mine, record.job, "b2", 2, "k2")
    assert late["state"] == "refused"
    assert "signed" in late["words"]


def test_a_stale_act_comes_back_with_what_others_did_and_the_list_as_it_is():
    mine, other = make_user(), make_user(first_name="Invented", last_name="Other")
    record = make_stack_record()
    turn_over(actor=actor_for(other), record=record, version=1, uid="b1")
    answer = turn(mine, record.job, "b2", 1, "k1")
    assert answer["state"] == "conflict"
    assert answer["version"] == 2
    assert answer["mine"] == ["flip bearing 2"]
    assert any("Invented Other flipped bearing 1" in line for line in answer["theirs"])
    assert "1 7320 · 40°, up" in answer["theirs"]
    record.refresh_from_db()
    assert record.version == 2


def test_stale_fields_of_a_part_come_back_field_by_field():
    mine, other = make_user(), make_user()
    record = make_stack_record()
    url = reverse("bench:stack_item", args=[record.job.number, Stage.AS_FOUND, "b1"])
    data = {name: str(value) for name, value in record.items[1]["data"].items() if name != "kind"}
    first = send(other, url, {**data, "serial": "S-1", "version": "1", "form_key": "k0"})
    assert (first.json()["state"], first.json()["version"]) == ("done", 2)
    answer = send(mine, url, {**data, "serial": "S-2", "version": "1", "form_key": "k1"}).json()
    assert answer["state"] == "conflict"
    assert [line for line in answer["mine"] if "S-2" in line]
    assert [line for line in answer["theirs"] if line.endswith("S-1")]


def test_the_pages_of_today_are_named_nearest_first_and_change_their_mark_with_their_job():
    user, lead = make_user(), make_user("lead")
    mine, handed, waiting = make_job(), make_job(), make_job()
    sign_off(actor=actor_for(user), step=mine.steps.first())
    write_hand_over(actor=actor_for(lead), job=handed, done="Rotor is out.")
    make_stack_record(mine)
    pages = pages_of_today(user)
    order = [page["url"] for page in pages]
    places = [order.index(reverse("bench:job", args=[job.number])) for job in (mine, handed, waiting)]
    assert places == sorted(places)
    stack = reverse("bench:stack", args=[mine.number, Stage.AS_FOUND])
    assert {stack, f"{stack}?item=b1", reverse("bench:home"), reverse("bench:outbox")} <= set(order)
    before = {page["url"]: page["mark"] for page in pages}
    write_hand_over(actor=actor_for(user), job=mine, done="Rotor is out too.")
    after = {page["url"]: page["mark"] for page in pages_of_today(user)}
    assert before[stack] != after[stack]
    other = reverse("bench:job", args=[waiting.number])
    assert before[other] == after[other]


def test_naming_today_s_pages_costs_the_same_queries_for_any_number_of_jobs():
    user = make_user()

    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            pages_of_today(user)
        return len(seen)

    make_stack_record(make_job())
    few = queries()
    for _ in range(4):
        make_stack_record(make_job())
    assert queries() == few <= 8


def test_every_page_to_keep_can_be_opened():
    user = make_user()
    record = make_stack_record(started_by=user)
    sign_off(actor=actor_for(user), step=record.job.steps.first())
    make_stack_record(record.job, Stage.SPECIFIED)  # which a technician only reads
    client = signed_in(user)
    answers = {page["url"]: client.get(page["url"]) for page in pages_of_today(user)}
    assert {url: one.status_code for url, one in answers.items() if one.status_code != 200} == {}
    assert {one.headers["X-Person"] for one in answers.values()} == {str(user.pk)}


def test_the_worker_keeps_what_the_pages_of_the_bench_are_made_of():
    user, job = make_user(), make_job()
    answer = Client().get(reverse("bench:worker"))
    assert answer.headers["Service-Worker-Allowed"] == "/"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["Content-Type"] == "text/javascript"
    html = signed_in(user).get(reverse("bench:job", args=[job.number])).content.decode()
    named = {part.split('"')[0] for part in html.split('"/static/')[1:]}
    assert named <= set(SHELL)
    assert [name for name in SHELL if finders.find(name) is None] == []
    assert all(name in worker_script() for name in named)
