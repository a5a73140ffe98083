"""Overrides that nobody can ask for: nothing stands in the way, something else comes first, or the act does not fit."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import models
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.people.pin_services import give_one_time_pin
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import covered_keys, left_out_key
from repairs.work_orders.models import Job, Override, Stage, Step
from repairs.work_orders.services import stack_editing
from repairs.work_orders.services.overrides import (
    ask_override,
    can_be_overridden,
    confirm_override,
    refresh_override,
    withdraw_override,
)
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.two_people import SHORTEST_REASON, own_reason, refuse_second
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file
from tests.repairs.signed_stacks import approved, built, laid_out

pytestmark = [pytest.mark.django_db, pytest.mark.data]
SKIP, PASS = Override.Act.SKIP, Override.Act.PASS
REASON = "The pump of the customer stands still and waits."


def ask(step: Step, **more: object) -> Override:
    fields = {"actor": actor_for(make_user("lead")), "act": PASS, "reason": REASON, **more}
    return ask_override(step=step, **fields)


def ready_to_lay_out() -> Job:
    job = make_job()
    approved(job)
    laid_out(job)
    add_photos(
        actor=actor_for(make_user()), job=job, files=[picture_file()], step=job.steps.get(kind="lay_out")
    )
    return job


def test_a_step_that_nothing_stands_in_the_way_of_is_signed_and_not_overridden():
    step = ready_to_lay_out().steps.get(kind="lay_out")
    with pytest.raises(WorkOrderError, match="Nothing blocks this step"):
        ask(step)
    # To leave it out is a fact of its own.
    assert [row["key"] for row in ask(step, act=SKIP).reasons] == [left_out_key(step)]


def test_what_no_fact_is_named_for_is_put_right_first():
    job = make_job()
    with pytest.raises(WorkOrderError, match="First: No lead has approved a specified stack"):
        ask(job.steps.get(kind="lay_out"))
    assert ask(job.steps.get(kind="lay_out"), act=SKIP).act == SKIP


@pytest.mark.parametrize(
    ("kind", "act", "can"),
    [
        ("lay_out", SKIP, True), ("lay_out", PASS, True), ("mount", SKIP, True), ("mount", PASS, True),
        ("second_person", SKIP, True), ("second_person", PASS, False), ("end_play", SKIP, True),
        ("end_play", PASS, True), ("final_test", SKIP, True), ("final_test", PASS, True),
        ("ship", SKIP, False), ("ship", PASS, True), ("winding", SKIP, False), ("winding", PASS, False),
        ("approval", PASS, False), ("specify", SKIP, False),
    ],
)  # fmt: skip
def test_only_links_of_the_chain_that_are_still_to_do_are_overridden(kind, act, can):
    step = make_job().steps.get(kind=kind)
    assert can_be_overridden(step, act) is can
    for state in (Step.State.DONE, Step.State.SKIPPED):
        step.state = state
        assert not can_be_overridden(step, act)


@pytest.mark.parametrize("act", ["", "leave", "SKIP"])
def test_an_act_that_there_is_not_is_refused(act):
    with pytest.raises(WorkOrderError, match="cannot be overridden that way"):
        ask(ready_to_lay_out().steps.get(kind="lay_out"), act=act)


def test_a_day_of_consent_may_be_today_and_not_tomorrow_whatever_else_is_agreed():
    step = ready_to_lay_out().steps.get(kind="lay_out")
    today = timezone.localdate()
    with pytest.raises(WorkOrderError, match="consent date is in the future") as refusal:
        ask(step, act=SKIP, consent_on=today + timedelta(days=1))
    assert refusal.value.field == "consent_on"
    assert (
        ask(step, act=SKIP, consent_on=today, consent_by=" R. Haas ", consent_how=" phone ").consent_by
        == "R. Haas"
    )


def test_what_was_asked_for_waits_on_its_step_and_covers_nothing():
    job = ready_to_lay_out()
    step = job.steps.get(kind="lay_out")
    override = ask(step, act=SKIP, tell_customer="  The stack was not laid out dry.  ")
    assert (override.tell_customer, override.differs) == ("The stack was not laid out dry.", False)
    assert covered_keys(job) == set()
    refresh_override(job)
    assert job.override_words == ""
    event = Event.objects.get(verb="override.asked")
    assert (event.reason, event.after["act"], event.after["facts"]) == (REASON, "skip", [left_out_key(step)])
    confirm_override(actor=actor_for(make_user("engineer")), override=override)
    job.refresh_from_db()
    assert covered_keys(job) == {left_out_key(step)}
    assert job.override_words == "Dry layout: skipped"
    assert Event.objects.filter(verb="override.confirmed", subject_id=str(override.pk)).exists()
    # One job's override covers nothing of another.
    assert covered_keys(make_job()) == set()


def test_a_step_that_was_signed_meanwhile_is_not_confirmed():
    step = ready_to_lay_out().steps.get(kind="lay_out")
    override = ask(step, act=SKIP)
    Step.objects.filter(pk=step.pk).update(state=Step.State.DONE)
    with pytest.raises(WorkOrderError, match="already signed off or skipped"):
        confirm_override(actor=actor_for(make_user("engineer")), override=override)


def test_what_is_withdrawn_is_withdrawn_once_and_confirmed_never():
    override = ask(ready_to_lay_out().steps.get(kind="lay_out"), act=SKIP)
    first, other = make_user("lead"), make_user("lead")
    withdraw_override(actor=actor_for(first), override=override)
    again = withdraw_override(actor=actor_for(other), override=override)
    assert again.withdrawn_name == str(first)
    assert Event.objects.filter(verb="override.withdrawn").count() == 1
    with pytest.raises(WorkOrderError, match="already confirmed or withdrawn"):
        confirm_override(actor=actor_for(make_user("engineer")), override=override)


def test_a_stack_that_is_not_built_or_differs_needs_the_customers_consent():
    job = make_job()
    approved(job)
    laid_out(job)
    job.steps.filter(kind="lay_out").update(state=Step.State.DONE)
    make_stack_record(job, Stage.AS_BUILT)
    mount = job.steps.get(kind="mount")
    with pytest.raises(WorkOrderError, match="who consented for the customer") as refusal:
        ask(mount, act=SKIP, consent_how="phone", consent_on=timezone.localdate())
    assert refusal.value.field == "consent_by"
    with pytest.raises(WorkOrderError, match="who consented for the customer") as refusal:
        ask(mount, act=SKIP, consent_by="R. Haas", consent_how="  ", consent_on=timezone.localdate())
    assert refusal.value.field == "consent_how"
    assert ask(
        mount, act=SKIP, consent_by="R. Haas", consent_how="phone", consent_on=timezone.localdate()
    ).differs


@pytest.mark.parametrize("kind", ["mount", "second_person", "end_play", "final_test"])
@pytest.mark.parametrize(("faces", "open_to_two"), [("duu", False), ("ddu", True)])
def test_a_face_that_differed_is_not_overridden_by_beginning_an_empty_record(kind, faces, open_to_two):
    job = make_job()
    approved(job)
    built(job, faces)
    stack_editing.start_record(actor=actor_for(make_user()), job=job, stage=Stage.AS_BUILT, reason="again")
    step = job.steps.get(kind=kind)
    job.steps.filter(position__lt=step.position).update(state=Step.State.DONE)
    consent = {"consent_by": "R. Haas", "consent_on": timezone.localdate(), "consent_how": "letter"}
    if open_to_two:
        assert ask(step, act=SKIP, **consent).differs
        return
    with pytest.raises(WorkOrderError, match=r"upside down\. Record the stack again"):
        ask(step, act=SKIP, **consent)


@pytest.mark.parametrize(("length", "enough"), [(SHORTEST_REASON - 1, False), (SHORTEST_REASON, True)])
def test_a_reason_has_at_least_fifteen_characters(length, enough):
    assert SHORTEST_REASON == 15
    job, words = make_job(), "x" * length
    if enough:
        assert own_reason(job, f"  {words} ") == words
    else:
        with pytest.raises(WorkOrderError, match="at least 15 characters"):
            own_reason(job, f"  {words}   ")


def test_a_reason_is_kept_up_to_three_hundred_characters_and_free_again_on_another_job():
    job = make_job()
    step = job.steps.get(kind="lay_out")
    ask(step, act=SKIP, reason="y" * 400)
    assert Override.objects.get().reason == "y" * 300
    with pytest.raises(WorkOrderError, match="already used on this job"):
        own_reason(job, "Y" * 300)
    assert own_reason(make_job(), "Y" * 300) == "Y" * 300


def test_a_pin_was_set_today_from_the_first_moment_of_the_shops_own_day():
    admin, second = make_user("administrator"), make_user("engineer")
    give_one_time_pin(actor=actor_for(admin), person=second)
    lead = make_user("lead")
    midnight = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)

    def refused(at) -> bool:
        models.QuerySet(Event).filter(verb="pin.set").update(at=at)
        try:
            refuse_second(
                actor_for(second, by_pin=True),
                make_job(),
                first_id=admin.pk,
                first_session="x",
                first_by_pin=False,
            )
        except WorkOrderError as error:
            return "set your PIN today" in str(error)
        return False

    assert refused(midnight)
    assert not refused(midnight - timedelta(microseconds=1))
    # An entry about another thing with the person's number is none about the person.
    models.QuerySet(Event).filter(verb="pin.set").update(at=midnight, subject_type="device")
    refuse_second(
        actor_for(second, by_pin=True), make_job(), first_id=admin.pk, first_session="x", first_by_pin=False
    )
    models.QuerySet(Event).filter(verb="pin.set").update(subject_type="user")
    # Somebody else asked, and who gave oneself a PIN is not meant.
    models.QuerySet(Event).filter(verb="pin.set").update(at=midnight)
    refuse_second(
        actor_for(second, by_pin=True), make_job(), first_id=lead.pk, first_session="x", first_by_pin=True
    )
