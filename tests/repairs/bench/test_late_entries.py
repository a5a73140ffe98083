"""What arrives after its job ended waits with a lead, who takes it in as it was made or sets it aside."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.people.models import User
from repairs.work_orders.models import Job, JobPhoto, LateEntry
from repairs.work_orders.services.opening import close_job
from repairs.work_orders.services.route import sign_off
from tests.repairs.bench.test_entry_origin import PRESSED, READING, send
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file

pytestmark = pytest.mark.django_db
LATE = "bench:late_entries"


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def ended() -> Job:
    job = make_job()
    close_job(actor=actor_for(make_user("office")), job=job, cancelled=True, reason="rotor cracked")
    return job


def settle(lead: Client, act: str, **fields: str) -> Any:
    entry = LateEntry.objects.get()
    return lead.post(reverse(LATE), {"do": f"{act}:{entry.pk}", "form_key": act, **fields})


def late_reading(job: Job, user: User) -> None:
    fields = {**READING, "form_key": "k", "made_step": str(job.steps.first().pk)}
    for _twice in range(2):
        send(user, reverse("bench:reading", args=[job.number]), fields)


def test_an_entry_for_an_ended_job_waits_with_the_lead_once_and_changes_nothing():
    job, user = ended(), make_user()
    late_reading(job, user)
    entry = LateEntry.objects.get()
    assert (entry.why, entry.author, entry.made_at) == ("ended", user, PRESSED)
    assert "Surge" in entry.words
    assert not Reading.objects.exists()
    lead, technician = signed_in(make_user("lead")), signed_in(make_user())
    assert "1 late entry" in lead.get(reverse("bench:home")).content.decode()
    assert "late entry" not in technician.get(reverse("bench:home")).content.decode()
    assert "Surge" in lead.get(reverse(LATE)).content.decode()
    assert "Surge" not in technician.get(reverse(LATE)).content.decode()
    assert settle(technician, "accept", reason="they pay").status_code == 422
    assert settle(lead, "accept", reason=" ").status_code == 422
    job.refresh_from_db()
    assert job.state == "cancelled"


def test_what_waits_says_in_words_what_it_is_a_step_a_reading_or_what_is_done_to_which_part():
    job, user = make_job(), make_user()
    step = job.steps.get(kind="end_play")
    record = make_stack_record(job, "as_found", started_by=user)
    close_job(actor=actor_for(make_user("office")), job=job, cancelled=True, reason="rotor cracked")
    turned = {"do": f"turn:{record.items[1]['uid']}", "version": "1", "form_key": "c"}
    send(user, reverse("bench:step", args=[job.number, step.pk]), {"do": "sign", "note": "", "form_key": "a"})
    asked = reverse("bench:shop_test", args=[job.number, step.pk, "end_play"])
    send(user, asked, {"down_1": "0", "up_1": "0.2 mm", "form_key": "b"})
    send(user, reverse("bench:stack_act", args=[job.number, "as_found"]), turned)
    late_reading(job, user)
    assert [one.words for one in LateEntry.objects.order_by("pk")] == [
        f"Sign-off: {step.title}",
        f"Test: {step.title} · End play · 0 · 0.2 mm",
        "Stack: As found · flip bearing 1",
        "Reading: Surge · 12 · kV · as found",
    ]


def test_a_lead_accepts_it_it_reopens_the_job_and_is_filed_under_its_author_step_and_time():
    job, user, chief = ended(), make_user(), make_user("lead")
    late_reading(job, user)
    lead = signed_in(chief)
    for _twice in range(2):
        assert settle(lead, "accept", reason="the customer pays").status_code == 302
    reading = Reading.objects.get()
    assert (reading.person, reading.made_at, reading.step) == (user, PRESSED, job.steps.first())
    job.refresh_from_db()
    assert job.state == "open"
    assert Event.objects.get(verb="job.reopened").reason == "the customer pays"
    entry = LateEntry.objects.get()
    assert (entry.outcome, entry.settled_name) == ("accepted", str(chief))
    assert settle(lead, "aside", reason="no").status_code == 422


def test_a_photo_waits_with_its_file():
    job, user = ended(), make_user()
    fields = {"files": [picture_file("crack.jpg")], "form_key": "k", "made_step": str(job.steps.first().pk)}
    send(user, reverse("bench:photos", args=[job.number]), fields)
    assert not JobPhoto.objects.exists()
    assert "crack.jpg" in LateEntry.objects.get().words
    assert settle(signed_in(make_user("lead")), "accept", reason="look").status_code == 302
    place = JobPhoto.objects.get()
    assert (place.photo.uploaded_by, place.photo.original_name) == (user, "crack.jpg")


def test_set_aside_needs_a_reason_and_leaves_the_job_ended():
    job, user = ended(), make_user()
    late_reading(job, user)
    lead = signed_in(make_user("lead"))
    assert settle(lead, "aside").status_code == 422
    assert settle(lead, "aside", reason="typed for another motor").status_code == 302
    job.refresh_from_db()
    assert (job.state, Reading.objects.count()) == ("cancelled", 0)
    assert LateEntry.objects.get().reason == "typed for another motor"


def test_an_entry_carried_out_before_the_end_finds_its_own_answer():
    job, user = make_job(), make_user()
    late_reading(job, user)
    close_job(actor=actor_for(make_user("office")), job=job, cancelled=True, reason="x")
    late_reading(job, user)
    assert (Reading.objects.count(), LateEntry.objects.count()) == (1, 0)


def test_whoever_stands_at_the_form_is_refused_at_once():
    job, user = ended(), make_user()
    url = reverse("bench:reading", args=[job.number])
    headers = {"X-Outbox": "at-once", "X-Outbox-Person": str(user.pk)}
    answer = signed_in(user).post(url, {**READING, "form_key": "k"}, headers=headers)
    assert answer.status_code == 422
    assert "has ended" in answer.json()["words"]
    assert not LateEntry.objects.exists()


def test_the_signer_alone_says_that_a_late_entry_is_seen():
    job, user, signer = make_job(), make_user(), make_user()
    sign_off(actor=actor_for(signer), step=job.steps.first())
    late_reading(job, user)
    mine, other = signed_in(signer), signed_in(make_user("lead"))
    assert "Arrived after you signed" in mine.get(reverse(LATE)).content.decode()
    assert settle(other, "seen").status_code == 422
    assert settle(mine, "seen").status_code == 302
    assert "Arrived after you signed" not in mine.get(reverse(LATE)).content.decode()
