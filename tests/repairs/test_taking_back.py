"""A signature given by mistake goes, as long as nothing stands on it; the ledger tells."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.work_orders.errors import AnothersEntryError, WorkOrderError
from repairs.work_orders.models import SignOff, Step, StepKind
from repairs.work_orders.services.opening import close_job
from repairs.work_orders.services.route import sign_off, skip_step
from repairs.work_orders.services.stack_changes import undo_change
from repairs.work_orders.services.stack_editing import turn_over
from repairs.work_orders.services.taking_back import can_be_taken_back, newest_signature, take_back
from repairs.work_orders.services.work import start_work, take_back_part, use_part
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_the_last_signature_goes_and_the_ledger_keeps_both():
    job, worker = make_job(), actor_for(make_user())
    step = job.steps.get(kind=StepKind.RECEIVE)
    sign_off(actor=worker, step=step, note="tag 7")
    take_back(actor=worker, step=step)
    step.refresh_from_db()
    job.refresh_from_db()
    assert (step.state, step.ended_at, SignOff.objects.count()) == (Step.State.WAITING, None, 0)
    assert job.step_kind == StepKind.RECEIVE
    verbs = list(
        Event.objects.filter(job_number=job.number, verb__startswith="step.").values_list("verb", "before")
    )
    assert [verb for verb, _before in sorted(verbs, key=str)] == ["step.signed", "step.unsigned"]
    assert dict(verbs)["step.unsigned"]["note"] == "tag 7"
    sign_off(actor=worker, step=step)


def test_only_the_signer_or_a_lead_takes_it_back():
    job, worker = make_job(), actor_for(make_user())
    step = job.steps.get(kind=StepKind.RECEIVE)
    sign_off(actor=worker, step=step)
    with pytest.raises(WorkOrderError, match="or a lead can undo this sign-off"):
        take_back(actor=actor_for(make_user()), step=step, confirmed=SignOff.objects.get().pk)
    lead = actor_for(make_user("lead"))
    for wrong in (None, 0, SignOff.objects.get().pk + 1):
        with pytest.raises(AnothersEntryError, match=f"{worker.name} signed “{step.title}”"):
            take_back(actor=lead, step=step, confirmed=wrong)
    assert SignOff.objects.count() == 1
    take_back(actor=lead, step=step, confirmed=SignOff.objects.get().pk)
    assert not SignOff.objects.exists()
    event = Event.objects.get(verb="step.unsigned")
    assert (event.before["person"], event.actor_name) == (worker.name, lead.name)


def test_a_lead_is_told_whose_signature_goes_and_asked_again(client):
    job, worker, lead = make_job(), make_user(first_name="Ana", last_name="Ruiz"), make_user("lead")
    step = job.steps.get(kind=StepKind.RECEIVE)
    signature = sign_off(actor=actor_for(worker), step=step)
    client.force_login(lead)
    page, url = reverse("bench:job", args=[job.number]), reverse("bench:step", args=[job.number, step.pk])
    assert "Undo Ana Ruiz's sign-off" in client.get(page).content.decode()
    asked = client.post(url, {"do": "take_back", "form_key": "one"})
    assert (asked.status_code, SignOff.objects.count()) == (422, 1)
    text = asked.content.decode()
    assert "Yes, undo Ana Ruiz's sign-off" in text
    assert f'name="confirmed" value="{signature.pk}"' in text
    body = {"do": "take_back", "form_key": "two", "confirmed": signature.pk}
    assert client.post(url, body).status_code == 302
    assert not SignOff.objects.exists()


def test_a_signature_many_steps_back_is_not_undone_after_skips():
    job, worker, lead = make_job(), actor_for(make_user()), actor_for(make_user("lead"))
    first, second = job.steps.order_by("position")[:2]
    sign_off(actor=worker, step=first)
    assert can_be_taken_back(newest_signature(job), worker)
    skip_step(actor=lead, step=second, reason="done at the pump")
    assert not can_be_taken_back(newest_signature(job), worker)
    with pytest.raises(WorkOrderError, match="was skipped or signed after"):
        take_back(actor=worker, step=first)
    assert SignOff.objects.count() == 1


def test_a_part_that_another_entered_is_taken_off_after_a_question_only():
    job, worker, other = make_job(), actor_for(make_user()), actor_for(make_user())
    part = use_part(actor=worker, job=job, name="fan", quantity=Decimal(1))
    with pytest.raises(AnothersEntryError, match=f"{worker.name} entered “fan”"):
        take_back_part(actor=other, part=part)
    take_back_part(actor=other, part=part, confirmed=part.pk)
    assert Event.objects.get(verb="part.taken_back").before["person"] == worker.name
    own = use_part(actor=other, job=job, name="oil", quantity=Decimal(1))
    assert take_back_part(actor=other, part=own).withdrawn_at is not None


def test_undo_on_a_stack_says_whose_change_goes():
    record, worker, other = make_stack_record(), actor_for(make_user()), actor_for(make_user())
    record = turn_over(actor=worker, record=record, version=record.version, uid="b1")
    record = turn_over(actor=other, record=record, version=record.version, uid="b2")
    record = undo_change(actor=other, record=record, version=record.version)
    with pytest.raises(AnothersEntryError, match=f"{worker.name} made the last change") as asked:
        undo_change(actor=other, record=record, version=record.version)
    record = undo_change(actor=other, record=record, version=record.version, confirmed=asked.value.entry_id)
    assert [one["data"].get("wide_face") for one in record.items[1:4]] == ["down", "down", "up"]
    with pytest.raises(WorkOrderError, match="Nothing to undo"):
        undo_change(actor=other, record=record, version=record.version)


def test_a_signature_that_others_stand_on_stays():
    job, worker = make_job(), actor_for(make_user())
    first, second = job.steps.order_by("position")[:2]
    with pytest.raises(WorkOrderError, match="Another step was signed since"):
        take_back(actor=worker, step=first)
    sign_off(actor=worker, step=first)
    start_work(actor=worker, step=second)
    with pytest.raises(WorkOrderError, match="has started"):
        take_back(actor=worker, step=first)
    Step.objects.filter(job=job).exclude(pk=first.pk).update(state=Step.State.DONE)
    close_job(actor=actor_for(make_user("lead")), job=job)
    with pytest.raises(WorkOrderError, match="has ended"):
        take_back(actor=worker, step=first)
    assert SignOff.objects.count() == 1


def test_the_bench_offers_it_to_the_signer_alone_and_a_second_tap_does_no_harm(client):
    job, user = make_job(), make_user()
    step = job.steps.get(kind=StepKind.RECEIVE)
    page = reverse("bench:job", args=[job.number])
    sign_off(actor=actor_for(user), step=step)
    client.force_login(make_user())
    assert "Undo sign-off" not in client.get(page).content.decode()
    client.force_login(user)
    assert "Undo sign-off" in client.get(page).content.decode()
    body = {"do": "take_back", "form_key": "once"}
    for _again in range(2):
        assert client.post(reverse("bench:step", args=[job.number, step.pk]), body).status_code == 302
    assert Event.objects.filter(verb="step.unsigned").count() == 1
