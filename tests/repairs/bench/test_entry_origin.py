"""Every entry is filed at the step and time of making, whatever the job came to until it arrived."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.services import Actor
from repairs.measurements.models import Reading
from repairs.measurements.services import correct_reading, record_reading
from repairs.people.models import User
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import (
    HandOver,
    Job,
    JobPhoto,
    LateEntry,
    Step,
    StepKind,
    StrippedPart,
    UsedPart,
)
from repairs.work_orders.services.holds import accept_hand_over, write_hand_over
from repairs.work_orders.services.route import repeat_step, sign_off
from tests.repairs.factories import actor_for, make_job, make_user, picture_file

pytestmark = pytest.mark.django_db
READING = {"quantity": "Surge", "value": "12", "unit": "kV", "moment": "as_found"}
PRESSED = timezone.now() - timedelta(hours=2)


def made_step(client: Client, url: str) -> str:
    """Return the step that a form's page names."""
    text = client.get(url).content.decode()
    return text.partition('name="made_step" value="')[2].partition('"')[0]


def send(user: User, url: str, fields: dict[str, Any], at: datetime = PRESSED) -> None:
    client = Client()
    client.force_login(user)
    headers = {"X-Outbox": "later", "X-Outbox-Person": str(user.pk), "X-Made-At": at.isoformat()}
    answer = client.post(url, fields, headers=headers)
    assert answer.json()["state"] == "done", answer.content


FORMS = {
    "reading": ("bench:reading", lambda: {**READING}, Reading),
    "photo": ("bench:photos", lambda: {"files": [picture_file()]}, JobPhoto),
    "part": ("bench:parts", lambda: {"do": "list", "name": "fan", "disposition": "open"}, StrippedPart),
    "used": ("bench:parts", lambda: {"do": "use", "name": "oil", "quantity": "1", "unit": "qt"}, UsedPart),
    "note": ("bench:hand_over", lambda: {"done": "half stripped"}, HandOver),
}


@pytest.mark.parametrize("kind", FORMS)
def test_an_entry_made_offline_is_filed_where_it_was_made_and_its_signer_is_told(kind):
    name, fields, model = FORMS[kind]
    job, user, signer = make_job(), make_user(), make_user()
    client = Client()
    client.force_login(user)
    url = reverse(name, args=[job.number])
    page = reverse("bench:job", args=[job.number]) if kind == "note" else url
    step = job.steps.first()
    assert made_step(client, page) == str(step.pk)
    sign_off(actor=actor_for(signer), step=step)
    assert made_step(client, page) == str(job.steps.get(kind=StepKind.STRIP_RECORD).pk)
    send(user, url, {**fields(), "form_key": "k", "made_step": str(step.pk)})
    row = model.objects.get()
    assert (row.made_at, row.arrived_later) == (PRESSED, True)
    if kind == "note":
        assert row.step_title == step.title
    else:
        assert row.step == step
    told = LateEntry.objects.get()
    assert (told.waits_for, told.author, told.step, told.made_at) == (signer, user, step, PRESSED)


def test_an_entry_of_the_step_at_hand_is_not_late_and_a_form_of_another_job_is_filed_at_the_current_step():
    job, other, user = make_job(), make_job(), make_user()
    url = reverse("bench:reading", args=[job.number])
    send(user, url, {**READING, "form_key": "a", "made_step": str(job.steps.first().pk)})
    send(user, url, {**READING, "form_key": "b", "made_step": str(other.steps.last().pk)})
    send(user, url, {**READING, "form_key": "c", "made_step": "x"})
    assert {one.step for one in Reading.objects.all()} == {job.steps.first()}
    assert not Reading.objects.filter(arrived_later=True).exists()
    assert not LateEntry.objects.exists()


def test_who_enters_late_at_the_own_step_is_not_told_twice():
    job, user = make_job(), make_user()
    step = job.steps.first()
    sign_off(actor=actor_for(user), step=step)
    url = reverse("bench:reading", args=[job.number])
    send(user, url, {**READING, "form_key": "a", "made_step": str(step.pk)})
    assert Reading.objects.get().arrived_later
    assert not LateEntry.objects.exists()


def test_a_time_to_come_is_no_time_of_making():
    job, user = make_job(), make_user()
    url = reverse("bench:reading", args=[job.number])
    send(user, url, {**READING, "form_key": "a"}, timezone.now() + timedelta(hours=1))
    assert Reading.objects.get().made_at is None


def _with_done_final_test() -> tuple[Job, Actor, Step]:
    job, worker = make_job(), actor_for(make_user())
    step = job.steps.get(kind=StepKind.FINAL_TEST)
    job.steps.filter(position__lte=step.position).update(state=Step.State.DONE)
    return job, worker, step


def test_a_late_fail_shuts_later_gates_until_the_step_is_done_again():
    job, worker, test = _with_done_final_test()
    ship = job.steps.get(kind=StepKind.SHIP)
    before = blocking_reasons(ship, actor=worker)
    assert not any("fails its limit" in one for one in before)
    reading = record_reading(
        actor=worker, job=job, step=test, quantity="Vibration", value=Decimal("0.4"), unit="in/s",
        limit_high=Decimal("0.15"), limit_source="order", moment="as_left",
    )  # fmt: skip
    assert reading.arrived_later
    assert any("fails its limit" in one for one in blocking_reasons(ship, actor=worker))
    again = repeat_step(actor=actor_for(make_user("lead")), step=test, reason="vibration")
    job.steps.filter(pk=again.pk).update(state=Step.State.DONE)
    assert not any("fails its limit" in one for one in blocking_reasons(ship, actor=worker))


def test_a_correction_of_a_signed_step_is_not_late():
    job, worker, test = _with_done_final_test()
    first = record_reading(actor=worker, job=job, step=test, quantity="x", value=Decimal(1), unit="mm")
    newer = correct_reading(actor=worker, reading=first, value=Decimal(2), reason="typed wrong")
    assert (newer.step, newer.arrived_later) == (test, False)


def test_an_accepted_handoff_stays_readable_with_its_hazard_and_lock(client):
    job, writer, taker = make_job(), make_user(), make_user(first_name="Ana", last_name="Ruiz")
    client.force_login(taker)
    note = write_hand_over(
        actor=actor_for(writer), job=job, done="half", danger="rotor on the hook", lock_of="J. Pell"
    )
    accept_hand_over(actor=actor_for(taker), hand_over=note)
    text = client.get(reverse("bench:job", args=[job.number])).content.decode()
    for words in ("rotor on the hook", "J. Pell", "accepted by Ana Ruiz"):
        assert words in text
