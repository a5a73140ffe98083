"""One signature, one step: what the page showed is asked by the server, whatever a hand taps twice."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.work_orders import page_state
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import SignOff, Step, StepKind
from repairs.work_orders.page_state import PageMovedOnError, SeenPage, newest_event
from repairs.work_orders.services import holds, work
from repairs.work_orders.services.route import sign_off, skip_step
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db


def seen_of(job, step) -> SeenPage:
    return SeenPage(step_id=step.pk, event_id=newest_event(job))


def test_a_second_tap_within_two_seconds_signs_nothing(monkeypatch):
    job, worker = make_job(), actor_for(make_user())
    first, second = job.steps.order_by("position")[:2]
    skip_step(actor=actor_for(make_user("lead")), step=second, reason="done at the pump")
    third = job.steps.get(kind=StepKind.OBSERVE)
    job.steps.filter(pk=third.pk).update(kind=StepKind.OTHER)
    sign_off(actor=worker, step=first, seen=seen_of(job, first))
    with pytest.raises(WorkOrderError, match="Wait two seconds"):
        sign_off(actor=worker, step=third, seen=seen_of(job, third))
    assert timedelta(seconds=2) == page_state.ONE_TAP
    monkeypatch.setattr(page_state, "ONE_TAP", timedelta(0))
    sign_off(actor=worker, step=third, seen=seen_of(job, third))
    assert SignOff.objects.count() == 2


def test_two_taps_on_a_tablet_count_by_its_own_clock():
    job, user = make_job(), make_user()
    first, second = job.steps.order_by("position")[:2]
    job.steps.filter(pk=second.pk).update(kind=StepKind.OTHER)
    pressed = timezone.now() - timedelta(minutes=30)

    def at(seconds: float):
        made = (pressed + timedelta(seconds=seconds)).isoformat()
        return actor_for(user).__class__(user_id=user.pk, name="x", role=user.role, made_at=made)

    sign_off(actor=at(0), step=first, seen=seen_of(job, first))
    with pytest.raises(WorkOrderError, match="Wait two seconds"):
        sign_off(actor=at(1.9), step=second, seen=seen_of(job, second))
    assert sign_off(actor=at(2.1), step=second, seen=seen_of(job, second)).made_at is not None


def test_a_page_that_has_moved_on_signs_nothing():
    job, worker, other = make_job(), actor_for(make_user()), actor_for(make_user())
    step = job.steps.first()
    page = seen_of(job, step)
    holds.hold_job(actor=other, job=job, waits_for="parts", reason="no fan")
    holds.release_job(actor=other, job=job)
    with pytest.raises(PageMovedOnError, match=f"{other.name} changed this job"):
        sign_off(actor=worker, step=step, seen=page)
    assert not SignOff.objects.exists()
    sign_off(actor=worker, step=step, seen=seen_of(job, step))


def test_what_the_signer_entered_since_and_a_clock_of_another_are_no_change():
    job, worker, other = make_job(), actor_for(make_user()), actor_for(make_user())
    step = job.steps.first()
    page = seen_of(job, step)
    work.list_part(actor=worker, job=job, name="fan")
    work.start_work(actor=other, step=step)
    sign_off(actor=worker, step=step, seen=page)
    assert SignOff.objects.count() == 1


def test_the_page_of_another_step_signs_nothing():
    job, worker = make_job(), actor_for(make_user())
    first, second = job.steps.order_by("position")[:2]
    for page in (seen_of(job, second), SeenPage(step_id=first.pk, event_id=newest_event(job))):
        with pytest.raises(PageMovedOnError, match=f"this job is now at “{first.title}”"):
            sign_off(actor=worker, step=second, seen=page)
    with pytest.raises(PageMovedOnError):
        sign_off(actor=worker, step=first, seen=seen_of(job, second))


def test_the_bench_answers_with_the_fresh_page_and_keeps_the_note(client):
    job, other = make_job(), actor_for(make_user())
    step = job.steps.first()
    client.force_login(make_user())
    shown = client.get(reverse("bench:job", args=[job.number]))
    seen = shown.context["seen"]
    assert f'name="seen" value="{seen}"' in shown.content.decode()
    holds.write_hand_over(actor=other, job=job, done="half stripped")
    body = {"do": "sign", "form_key": "one", "note": "tag 7", "cautions": "read", "seen": seen}
    url = reverse("bench:step", args=[job.number, step.pk])
    answer = client.post(url, body)
    assert (answer.status_code, SignOff.objects.count()) == (422, 0)
    page = answer.content.decode()
    assert "changed this job after your page was made" in page
    assert "half stripped" in page
    assert 'value="tag 7"' in page
    fresh = {**body, "form_key": "two", "seen": answer.context["seen"]}
    assert client.post(url, fresh).status_code == 302
    assert SignOff.objects.count() == 1


def test_a_form_that_names_no_state_signs_nothing(client):
    job = make_job()
    client.force_login(make_user())
    url = reverse("bench:step", args=[job.number, job.steps.first().pk])
    assert client.post(url, {"do": "sign", "form_key": "one", "cautions": "read"}).status_code == 422
    assert not SignOff.objects.exists()


def test_the_desk_signs_receive_ship_and_report_but_nothing_of_the_bench(client):
    job = make_job()
    client.force_login(make_user("office"))
    page, url = (reverse(name, args=[job.number]) for name in ("office:job", "office:job_sign"))
    for kind in (StepKind.RECEIVE, StepKind.REPORT):
        step = job.steps.first()
        job.steps.filter(pk=step.pk).update(kind=kind)
        shown = client.get(page).context
        body = {"do": "sign", "form_key": kind, "step": step.pk, "seen": shown["seen"], "reason": "crated"}
        assert client.post(url, {**body, "seen": 0}).status_code == 422
        assert client.post(url, body).status_code == 302
        assert client.post(url, body).status_code == 302
        assert SignOff.objects.filter(step=step).count() == 1
        SignOff.objects.all().delete()
        job.steps.filter(pk=step.pk).update(state=Step.State.WAITING)
    job.steps.filter(pk=step.pk).update(kind=StepKind.CLEAN)
    assert client.get(page).context["office_step"] is None
    refused = client.post(url, {**body, "form_key": "bench", "seen": 10**9})
    assert (refused.status_code, "signed at the bench" in refused.content.decode()) == (422, True)


def test_an_approval_is_never_the_gesture_of_the_estimate():
    job, office = make_job(), actor_for(make_user("office"))
    approval = job.steps.get(kind=StepKind.APPROVAL)
    with pytest.raises(WorkOrderError, match="who approved what"):
        sign_off(actor=office, step=approval)
    sign_off(actor=office, step=approval, note="R. Oduya by phone, 8,400")
    assert Event.objects.filter(verb="step.signed").count() == 1
