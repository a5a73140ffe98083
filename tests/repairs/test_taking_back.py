"""A signature given by mistake goes, as long as nothing stands on it; the ledger tells."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import SignOff, Step, StepKind
from repairs.work_orders.services.opening import close_job
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.taking_back import take_back
from repairs.work_orders.services.work import start_work
from tests.repairs.factories import actor_for, make_job, make_user

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
    with pytest.raises(WorkOrderError, match="or a lead can take this signature back"):
        take_back(actor=actor_for(make_user()), step=step)
    take_back(actor=actor_for(make_user("lead")), step=step)
    assert not SignOff.objects.exists()


def test_a_signature_that_others_stand_on_stays():
    job, worker = make_job(), actor_for(make_user())
    first, second = job.steps.order_by("position")[:2]
    with pytest.raises(WorkOrderError, match="Another step was signed since"):
        take_back(actor=worker, step=first)
    sign_off(actor=worker, step=first)
    start_work(actor=worker, step=second)
    with pytest.raises(WorkOrderError, match="has begun since"):
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
    assert "Undo the sign-off" not in client.get(page).content.decode()
    client.force_login(user)
    assert "Undo the sign-off" in client.get(page).content.decode()
    body = {"do": "take_back", "form_key": "once"}
    for _again in range(2):
        assert client.post(reverse("bench:step", args=[job.number, step.pk]), body).status_code == 302
    assert Event.objects.filter(verb="step.unsigned").count() == 1
