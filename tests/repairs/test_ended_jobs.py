"""What an ended job still takes: reopening by a lead, pickup and invoice data."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Stage, Step, StepKind
from repairs.work_orders.open_job import JobEndedError
from repairs.work_orders.services import (
    ended_job,
    opening,
    overrides,
    route,
    stack_changes,
    stack_editing,
    work,
)
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.signed_stacks import approved, built
from tests.repairs.transactions import written_together

pytestmark = pytest.mark.django_db


def test_only_a_lead_reopens_and_says_why():
    job, lead = make_job(), actor_for(make_user("lead"))
    opening.close_job(actor=lead, job=job, cancelled=True, reason="not worth it")
    for role in ("office", "technician", "engineer"):
        with pytest.raises(WorkOrderError, match="Only a lead can reopen"):
            ended_job.reopen_job(actor=actor_for(make_user(role)), job=job, reason="they pay")
    with pytest.raises(WorkOrderError, match="reason for reopening the job"):
        ended_job.reopen_job(actor=lead, job=job, reason="  ")
    job.refresh_from_db()
    version, ended = job.version, job.closed_at
    job = ended_job.reopen_job(actor=lead, job=job, reason="they pay")
    assert (job.state, job.closed_at, job.end_reason, job.version) == ("open", None, "", version + 1)
    event = Event.objects.get(verb="job.reopened")
    assert event.before["ended"] == ended.isoformat()
    assert (event.reason, event.before["end_reason"]) == ("they pay", "not worth it")
    work.list_part(actor=lead, job=job, name="fan cover")
    with pytest.raises(WorkOrderError, match="already open"):
        ended_job.reopen_job(actor=lead, job=job, reason="again")


def test_a_closed_job_is_reopened_and_a_step_done_again():
    job, lead = make_job(), actor_for(make_user("lead"))
    job.steps.update(state=Step.State.DONE)
    opening.close_job(actor=lead, job=job)
    ended_job.reopen_job(actor=lead, job=job, reason="it growls again")
    again = route.repeat_step(actor=lead, step=job.steps.last(), reason="look again")
    job.refresh_from_db()
    assert (job.step_title, job.state) == (again.title, "open")


def test_pickup_and_invoice_are_recorded_after_the_end_and_corrected_without_losing_the_first():
    job, office = make_job(), actor_for(make_user("office"))
    job.steps.update(state=Step.State.DONE)
    opening.close_job(actor=office, job=job)
    today = timezone.localdate()
    ended_job.record_pickup(actor=office, job=job, left_on=today, carrier="own truck", signed_by="R. Oduya")
    ended_job.record_pickup(actor=office, job=job, left_on=today, carrier="Line haul", signed_by="R. Oduya")
    assert [one.carrier for one in job.pickups.all()] == ["Line haul", "own truck"]
    assert ended_job.record_invoice(actor=office, job=job, number=" 1187 ").invoice_number == "1187"
    for wrong in (today + timedelta(days=1), today - timedelta(days=4000)):
        with pytest.raises(WorkOrderError, match="pickup date from"):
            ended_job.record_pickup(actor=office, job=job, left_on=wrong, signed_by="x")
    with pytest.raises(WorkOrderError, match="who signed"):
        ended_job.record_pickup(actor=office, job=job, left_on=today, signed_by=" ")
    with pytest.raises(WorkOrderError, match="office or a lead"):
        ended_job.record_pickup(actor=actor_for(make_user()), job=job, left_on=today, signed_by="x")


def test_the_page_of_an_ended_job_says_why_and_lets_a_lead_reopen_it(client):
    job, lead = make_job(), make_user("lead")
    opening.close_job(actor=actor_for(lead), job=job, cancelled=True, reason="rotor cracked")
    page = reverse("office:job", args=[job.number])
    client.force_login(make_user("office"))
    text = client.get(page).content.decode()
    assert "rotor cracked" in text
    assert "Reopen job" not in text
    assert "next: Receive" not in text
    assert client.post(reverse("office:job_reopen", args=[job.number])).status_code == 403
    today = timezone.localdate().isoformat()
    body = {
        "form_key": "p",
        "do": "pickup",
        "left_on": today,
        "signed_by": "R. Oduya",
        "carrier": "own truck",
    }
    for _twice in range(2):
        assert client.post(reverse("office:job_leaves", args=[job.number]), body).status_code == 302
    assert job.pickups.count() == 1
    assert "own truck" in client.get(page).content.decode()
    wrong = client.post(
        reverse("office:job_leaves", args=[job.number]), {**body, "form_key": "q", "left_on": "30.11."}
    )
    assert wrong.status_code == 422
    assert "own truck" in wrong.content.decode()
    client.force_login(lead)
    assert "Reopen job" in client.get(page).content.decode()
    body = {"form_key": "r", "do": "reopen", "reason": "customer pays"}
    assert client.post(reverse("office:job_reopen", args=[job.number]), body).status_code == 302
    job.refresh_from_db()
    assert job.state == "open"


def test_an_approved_stack_is_not_begun_anew_on_an_ended_job():
    job, lead = make_job(), actor_for(make_user("lead"))
    approved(job)
    opening.close_job(actor=lead, job=job, cancelled=True, reason="x")
    with pytest.raises(JobEndedError):
        stack_editing.start_record(actor=lead, job=job, stage=Stage.SPECIFIED, reason="x")


def test_what_is_wrong_with_a_pickup_is_said_of_its_field_in_the_words_of_the_shop():
    job, office = make_job(), actor_for(make_user("office"))
    job.steps.update(state=Step.State.DONE)
    goes = {"actor": office, "job": job, "left_on": timezone.localdate(), "signed_by": "R. Oduya"}
    with pytest.raises(WorkOrderError, match=r"^Carrier: .*120") as refusal:
        ended_job.record_pickup(**goes, carrier="C" * 121)
    assert refusal.value.field == "carrier"
    with pytest.raises(WorkOrderError) as refusal:
        ended_job.record_pickup(**{**goes, "left_on": timezone.localdate() + timedelta(days=1)})
    assert timezone.localdate().isoformat() not in str(refusal.value)


def test_a_motor_leaves_by_its_shipping_step_however_its_job_ends():
    job, lead = make_job(), actor_for(make_user("lead"))
    today = timezone.localdate()
    goes = {"actor": lead, "job": job, "left_on": today, "signed_by": "R. Oduya"}
    with pytest.raises(WorkOrderError, match="Steps are still open"):
        ended_job.record_pickup(**goes)
    approved(job)
    built(job, "duu")
    opening.close_job(actor=lead, job=job, cancelled=True, reason="they want it today")
    with pytest.raises(WorkOrderError, match="This motor's stack was built or started"):
        ended_job.record_pickup(**goes)
    ended_job.reopen_job(actor=lead, job=job, reason="the stack comes off")
    stack_editing.start_record(actor=lead, job=job, stage=Stage.AS_BUILT, reason="the stack is off the mount")
    opening.close_job(actor=lead, job=job, cancelled=True, reason="it goes back in parts")
    with pytest.raises(WorkOrderError, match="second person confirms"):
        ended_job.record_pickup(**goes)


def test_a_motor_that_nothing_was_built_on_leaves_a_cancelled_job_and_one_whose_record_was_emptied_does_not():
    job, lead = make_job(), actor_for(make_user("lead"))
    goes = {"actor": lead, "job": job, "left_on": timezone.localdate(), "signed_by": "R. Oduya"}
    approved(job)
    record = stack_editing.start_record(actor=lead, job=job, stage=Stage.AS_BUILT)
    opening.close_job(actor=lead, job=job, cancelled=True, reason="it goes back in parts")
    assert ended_job.record_pickup(**goes).signed_by == "R. Oduya"
    ended_job.reopen_job(actor=lead, job=job, reason="they want it built after all")
    record = stack_editing.add_item(
        actor=lead, record=record, version=record.version, data={"kind": "spacer"}
    )
    stack_changes.undo_change(actor=lead, record=record, version=record.version)
    opening.close_job(actor=lead, job=job, cancelled=True, reason="it goes back in parts")
    with pytest.raises(WorkOrderError, match="was built or started"):
        ended_job.record_pickup(**goes)


def test_two_people_let_a_motor_leave_whose_stack_is_off_again():
    job, lead = make_job(), make_user("lead")
    goes = {"actor": actor_for(lead), "job": job, "left_on": timezone.localdate(), "signed_by": "R. Oduya"}
    approved(job)
    built(job, "duu")
    stack_editing.start_record(
        actor=actor_for(make_user()), job=job, stage=Stage.AS_BUILT, reason="the stack is off the mount"
    )
    ship = job.steps.get(kind=StepKind.SHIP)
    job.steps.exclude(pk=ship.pk).update(state=Step.State.DONE)
    asked = overrides.ask_override(
        actor=actor_for(lead), step=ship, act="pass", reason="goes back in parts, stack in a box",
        consent_by="R. Haas", consent_on=timezone.localdate(), consent_how="letter",
    )  # fmt: skip
    with pytest.raises(WorkOrderError):
        route.sign_off(actor=actor_for(lead), step=ship)
    overrides.confirm_override(actor=actor_for(make_user("engineer")), override=asked)
    route.sign_off(actor=actor_for(lead), step=ship)
    assert ended_job.record_pickup(**goes).signed_by == "R. Oduya"


def test_a_job_whose_route_lacks_shipping_does_not_close_with_a_stack():
    job, lead = make_job(), actor_for(make_user("lead"))
    approved(job)
    ship = job.steps.get(kind=StepKind.SHIP)
    job.steps.filter(pk=ship.pk).update(kind=StepKind.OTHER)
    job.steps.update(state=Step.State.DONE)
    with pytest.raises(WorkOrderError, match="No step ships this motor"):
        opening.close_job(actor=lead, job=job)
    job.steps.filter(pk=ship.pk).update(kind=StepKind.SHIP)
    repeated = route.repeat_step(actor=lead, step=job.steps.get(kind=StepKind.MOUNT), reason="look again")
    with pytest.raises(WorkOrderError, match="Steps are still open"):
        ended_job.record_pickup(actor=lead, job=job, left_on=timezone.localdate(), signed_by="R. Oduya")
    Step.objects.filter(pk=repeated.pk).update(state=Step.State.DONE)
    assert opening.close_job(actor=lead, job=job).state == "closed"


def test_what_an_ended_job_takes_is_written_with_its_event_or_not_at_all():
    job, lead = make_job(), actor_for(make_user("lead"))
    job.steps.update(state=Step.State.DONE)
    opening.close_job(actor=lead, job=job)
    today = timezone.localdate()
    goes = {"left_on": today, "signed_by": "R. Oduya", "carrier": "own truck", "note": "on a pallet"}
    with written_together():
        ended_job.record_pickup(actor=lead, job=job, **goes)
        ended_job.record_invoice(actor=lead, job=job, number="1187")
        ended_job.reopen_job(actor=lead, job=job, reason="it growls again")
    told = Event.objects.get(verb="job.picked_up").after
    assert told == {"name": str(today), **goes, "left_on": str(today)}


def test_an_invoice_number_is_kept_with_its_event_once_and_a_wrong_one_is_taken_off():
    job, office = make_job(), actor_for(make_user("office"))
    for number in ("1187", " 1187 ", ""):
        ended_job.record_invoice(actor=office, job=job, number=number)
        job.refresh_from_db()
        assert job.invoice_number == number.strip()
    rows = Event.objects.filter(verb="job.invoiced").order_by("pk")
    assert [(one.before["invoice_number"], one.after["invoice_number"]) for one in rows] == [
        ("", "1187"),
        ("1187", ""),
    ]


def test_an_invoice_number_is_entered_by_the_office_and_of_60_characters_at_most():
    job, office = make_job(), actor_for(make_user("office"))
    assert ended_job.record_invoice(actor=office, job=job, number="9" * 60).invoice_number == "9" * 60
    with pytest.raises(WorkOrderError, match="at most 60") as refusal:
        ended_job.record_invoice(actor=office, job=job, number="9" * 61)
    assert refusal.value.field == "invoice_number"
    with pytest.raises(WorkOrderError, match="office or a lead"):
        ended_job.record_invoice(actor=actor_for(make_user("technician")), job=job, number="1187")
    job.refresh_from_db()
    assert job.invoice_number == "9" * 60


def test_a_corrected_pickup_names_the_one_that_it_corrects():
    job, office = make_job(), actor_for(make_user("office"))
    job.steps.update(state=Step.State.DONE)
    opening.close_job(actor=office, job=job)
    goes = {"actor": office, "job": job, "left_on": timezone.localdate(), "signed_by": "R. Oduya"}
    for carrier in ("own truck", "Line haul", "by rail"):
        ended_job.record_pickup(**goes, carrier=carrier)
    rows = Event.objects.filter(verb="job.picked_up").order_by("pk")
    assert [one.before and one.before["carrier"] for one in rows] == [None, "own truck", "Line haul"]
