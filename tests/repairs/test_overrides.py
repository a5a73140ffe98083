"""Two people who did not build: what an override takes, what it covers, and what no two people can let pass."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.documents.content import papers
from repairs.documents.content.reader import Reader
from repairs.ledger.models import Event
from repairs.people.middleware import BENCH, actor_of
from repairs.people.pin_services import give_one_time_pin
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import Job, Override, SignOff, Stage, Step, StepKind
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.overrides import ask_override, confirm_override, withdraw_override
from repairs.work_orders.services.route import repeat_step, sign_off, skip_step
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.signed_stacks import approved, built, laid_out, looked_at, with_photo
from tests.repairs.transactions import written_together

pytestmark = [pytest.mark.django_db, pytest.mark.data]
REASON = "The pump of the customer stands still and waits."
CONSENT = {"consent_by": "R. Haas", "consent_on": date(2026, 11, 24), "consent_how": "phone"}
CHAIN = (StepKind.LAY_OUT, StepKind.MOUNT, StepKind.SECOND_PERSON, StepKind.END_PLAY, StepKind.FINAL_TEST)


def at(job: Job, kind: str) -> Step:
    """Return a step of a job whose earlier steps are signed under the first gates."""
    step = job.steps.get(kind=kind)
    earlier = job.steps.filter(position__lt=step.position)
    earlier.update(state=Step.State.DONE)
    worker = make_user()
    SignOff.objects.bulk_create(
        SignOff(step=one, person=worker, person_name=str(worker), rules=1) for one in earlier
    )
    return step


def ask(step: Step, by: Any = None, **more: Any) -> Override:
    fields = {"act": Override.Act.SKIP, "reason": REASON, **CONSENT, **more}
    actor = fields.pop("actor", None) or actor_for(by or make_user("lead"))
    return ask_override(actor=actor, step=step, **fields)


def matching_job() -> Job:
    """Return a job whose stack is built as specified and seen by a second person."""
    job, second = make_job(), make_user()
    approved(job)
    looked_at(built(job, "ddu"), second)
    sign_off(actor=actor_for(second), step=job.steps.get(kind=StepKind.SECOND_PERSON))
    return job


@pytest.mark.parametrize("role", ["lead", "engineer", "administrator"])
def test_a_lead_asks_and_another_person_confirms_before_a_step_is_left_out(role):
    step = at(matching_job(), StepKind.END_PLAY)
    override = ask(step)
    step.refresh_from_db()
    assert step.state == Step.State.WAITING
    confirm_override(actor=actor_for(make_user(role)), override=override)
    step.refresh_from_db()
    step.job.refresh_from_db()
    assert step.state == Step.State.SKIPPED
    assert "skipped" in step.job.override_words
    verbs = set(Event.objects.of_job(step.job.number).values_list("verb", flat=True))
    assert {"override.asked", "override.confirmed", "step.skipped"} <= verbs


def test_what_an_override_writes_is_written_together():
    step, lead, second = (
        at(matching_job(), StepKind.END_PLAY),
        make_user("lead"),
        actor_for(make_user("lead")),
    )
    with written_together():
        withdraw_override(actor=second, override=ask(step, lead))
        confirm_override(actor=second, override=ask(step, lead, reason=f"{REASON} It floods."))
    assert Event.objects.filter(verb="override.asked").count() == 2


@pytest.mark.parametrize("role", ["technician", "engineer", "administrator", "office"])
def test_only_a_lead_asks(role):
    with pytest.raises(WorkOrderError, match="Only a lead"):
        ask(at(matching_job(), StepKind.END_PLAY), make_user(role))


@pytest.mark.parametrize("role", ["technician", "office"])
def test_only_a_second_lead_the_engineer_or_the_administrator_confirms(role):
    override = ask(at(matching_job(), StepKind.END_PLAY))
    with pytest.raises(WorkOrderError, match="second lead, the engineer or the administrator"):
        confirm_override(actor=actor_for(make_user(role)), override=override)


def test_the_same_person_is_not_two_in_whatever_session_or_role():
    lead = make_user("lead")
    override = ask(at(matching_job(), StepKind.END_PLAY), lead)
    lead.role = "engineer"
    lead.save()
    with pytest.raises(WorkOrderError, match="Another person must confirm"):
        confirm_override(actor=actor_for(lead, session="another"), override=override)
    with pytest.raises(IntegrityError), transaction.atomic():
        Override.objects.filter(pk=override.pk).update(second=lead, confirmed_at=timezone.now())


def test_whoever_built_is_neither_of_the_two_in_whatever_role_since():
    job, builder = make_job(), make_user()
    approved(job)
    looked_at(built(job, "ddu", builder), make_user())
    step = at(job, StepKind.END_PLAY)
    builder.role = "lead"
    builder.save()
    with pytest.raises(WorkOrderError, match="You built or recorded"):
        ask(step, builder)
    override = ask(step)
    with pytest.raises(WorkOrderError, match="You built or recorded"):
        confirm_override(actor=actor_for(builder), override=override)


def test_whoever_entered_one_part_of_the_build_counts_as_a_builder():
    job, helper = make_job(), make_user("lead")
    approved(job)
    record = built(job, "ddu")
    Event.objects.create(
        actor=helper, actor_name=str(helper), verb="stack.item_added", subject_type="stackrecord",
        subject_id=str(record.pk), job_number=job.number,
    )  # fmt: skip
    with pytest.raises(WorkOrderError, match="You built or recorded"):
        ask(at(job, StepKind.END_PLAY), helper)


def test_both_act_online_each_in_a_session_of_their_own():
    step, lead, second = at(matching_job(), StepKind.END_PLAY), make_user("lead"), make_user("engineer")
    with pytest.raises(WorkOrderError, match="needs the network"):
        ask(step, actor=actor_for(lead, made_at="2026-11-25T10:00:00+00:00"))
    with pytest.raises(WorkOrderError, match="needs the network"):
        ask(step, actor=actor_for(lead, session=""))
    override = ask(step, lead)
    with pytest.raises(WorkOrderError, match="the same session"):
        confirm_override(actor=actor_for(second, session=override.lead_session), override=override)


def test_a_pin_that_the_first_set_that_day_confirms_nothing_but_a_password_does():
    admin, second = make_user("administrator"), make_user("engineer")
    give_one_time_pin(actor=actor_for(admin), person=second)
    admin.role = "lead"
    admin.save()
    override = ask(at(matching_job(), StepKind.END_PLAY), admin)
    with pytest.raises(WorkOrderError, match="set your PIN today"):
        confirm_override(actor=actor_for(second, by_pin=True), override=override)
    confirm_override(actor=actor_for(second), override=override)


def test_a_lead_whose_pin_the_second_set_that_day_does_not_count_as_two():
    admin, lead = make_user("administrator"), make_user("lead")
    give_one_time_pin(actor=actor_for(admin), person=lead)
    override = ask(at(matching_job(), StepKind.END_PLAY), actor=actor_for(lead, by_pin=True))
    with pytest.raises(WorkOrderError, match="You set the asking person's PIN today"):
        confirm_override(actor=actor_for(admin), override=override)


def test_a_reason_has_fifteen_characters_and_is_used_once_on_a_job():
    job = matching_job()
    step = at(job, StepKind.END_PLAY)
    with pytest.raises(WorkOrderError, match="at least 15") as refusal:
        ask(step, reason="rush     rush  ")
    assert refusal.value.field == "reason"
    withdraw_override(actor=actor_for(make_user("lead")), override=ask(step))
    with pytest.raises(WorkOrderError, match="already used on this job"):
        ask(step, reason=REASON.upper().replace(".", "!"))
    ask(step, reason="Gauge block is out for calibration.")


def test_two_overrides_of_one_step_do_not_wait_at_once_and_one_is_confirmed_once():
    step = at(matching_job(), StepKind.END_PLAY)
    override = ask(step)
    with pytest.raises(WorkOrderError, match="already has an override waiting"):
        ask(step, reason="Another lead asks for the same thing.")
    confirm_override(actor=actor_for(make_user("engineer")), override=override)
    with pytest.raises(WorkOrderError, match="already confirmed or withdrawn"):
        confirm_override(actor=actor_for(make_user("engineer")), override=override)
    with pytest.raises(WorkOrderError, match="cannot be withdrawn"):
        withdraw_override(actor=actor_for(make_user("lead")), override=override)


def test_one_signature_alone_opens_nothing():
    step = at(matching_job(), StepKind.FINAL_TEST)
    before = blocking_reasons(step, actor=actor_for(make_user()))
    ask(step, act=Override.Act.PASS)
    assert before == blocking_reasons(step, actor=actor_for(make_user())) != []


def test_the_customers_consent_is_named_where_the_motor_differs_from_what_was_agreed():
    job = make_job()
    approved(job)
    for missing in CONSENT:
        with pytest.raises(WorkOrderError, match="consented") as refusal:
            ask(at(job, StepKind.MOUNT), **{missing: "" if missing != "consent_on" else None})
        assert refusal.value.field == missing
        SignOff.objects.all().delete()
    with pytest.raises(WorkOrderError, match="consent date is in the future"):
        ask(job.steps.get(kind=StepKind.MOUNT), consent_on=date(2199, 1, 1))
    ask(job.steps.get(kind=StepKind.MOUNT))


def test_an_override_without_a_difference_needs_no_consent():
    ask(at(matching_job(), StepKind.END_PLAY), consent_by="", consent_on=None, consent_how="")


@pytest.mark.parametrize("kind", CHAIN)
def test_no_single_lead_leaves_out_a_step_that_the_motor_ships_by(kind):
    step = at(make_job(), kind)
    with pytest.raises(WorkOrderError, match="Skipping it takes two people"):
        skip_step(actor=actor_for(make_user("lead")), step=step, reason="rush")


@pytest.mark.parametrize("kind", CHAIN)
def test_a_motor_does_not_ship_while_a_link_of_the_chain_is_open(kind):
    job = matching_job()
    ship = at(job, StepKind.SHIP)
    lead = actor_for(make_user("lead"))
    assert blocking_reasons(ship, actor=lead) == []
    step = job.steps.get(kind=kind)
    for state in (Step.State.WAITING, Step.State.SKIPPED):
        job.steps.filter(pk=step.pk).update(state=state)
        assert any(step.title in reason for reason in blocking_reasons(ship, actor=lead)), state
    SignOff.objects.filter(step=step).delete()
    step.delete()
    assert any("no step" in reason for reason in blocking_reasons(ship, actor=lead))


def test_a_step_left_out_by_two_is_a_link_and_one_done_again_is_asked_for_again():
    job = matching_job()
    step = at(job, StepKind.END_PLAY)
    confirm_override(actor=actor_for(make_user("engineer")), override=ask(step))
    job.steps.filter(kind=StepKind.FINAL_TEST).update(state=Step.State.DONE)
    ship, lead = job.steps.get(kind=StepKind.SHIP), actor_for(make_user("lead"))
    assert blocking_reasons(ship, actor=lead) == []
    again = repeat_step(actor=lead, step=step, reason="the gauge is back")
    assert any(again.title in reason for reason in blocking_reasons(ship, actor=lead))


def test_a_part_that_differs_ships_by_two_with_consent_and_a_newer_difference_is_not_covered():
    job, hands = make_job(), make_user()
    approved(job)
    record = make_stack_record(job, Stage.AS_BUILT, "ddu", started_by=hands)
    record.items[1]["data"]["maker"] = "Maker Z (invented)"
    record.save()

    record = signing.submit_built(actor=actor_for(hands), record=with_photo(record), version=record.version)
    assert [row["code"] for row in record.differences] == ["replaced"]
    ship, lead = at(job, StepKind.SHIP), actor_for(make_user("lead"))
    SignOff.objects.filter(step__kind=StepKind.SECOND_PERSON).update(at=timezone.now())
    assert any("differs" in reason for reason in blocking_reasons(ship, actor=lead))
    override = ask(ship, act=Override.Act.PASS)
    assert override.differs
    confirm_override(actor=actor_for(make_user("administrator")), override=override)
    assert blocking_reasons(ship, actor=lead) == []
    make_stack_record(job, Stage.AS_BUILT, "ddu", revision=2)
    assert blocking_reasons(ship, actor=lead) != []


@pytest.mark.parametrize("faces", ["duu", "uud", "ddd"])
def test_a_face_that_differs_is_never_overridden(faces):
    job = make_job()
    approved(job)
    built(job, faces)
    for kind, act in ((StepKind.MOUNT, Override.Act.SKIP), (StepKind.SHIP, Override.Act.PASS)):
        with pytest.raises(WorkOrderError, match="cannot be overridden"):
            ask(at(job, kind), act=act)
        SignOff.objects.all().delete()


@pytest.mark.parametrize("more", [0, 1])
def test_a_flipped_bearing_of_another_serial_is_a_face_that_differs_whatever_parts_lie_beside_it(more):
    job, hands = make_job(), make_user()
    approved(job)

    record = make_stack_record(job, Stage.AS_BUILT, "duu", started_by=hands)
    # With another rating too it reads as one bearing missing and another added: its place alone tells.
    other = {"serial": "other", "mark": "99", "maker": "Maker Z (invented)", "dynamic_rating_n": 200000}
    record.items[2]["data"] |= other
    shim = {"kind": "shim", "ring": "outer", "height_mm": 0.2}
    record.items += more * [{"uid": "shim", "rating_id": None, "data": shim}]
    record.save()
    record = signing.submit_built(actor=actor_for(hands), record=with_photo(record), version=record.version)
    assert "turned-over" not in {row["code"] for row in record.differences}
    with pytest.raises(WorkOrderError, match="cannot be overridden"):
        ask(at(job, StepKind.SHIP), act=Override.Act.PASS)


def test_what_was_overridden_before_does_not_open_a_face_that_differs_later():
    job = make_job()
    approved(job)
    mount = at(job, StepKind.MOUNT)
    confirm_override(actor=actor_for(make_user("engineer")), override=ask(mount))
    built(job, "duu")
    ship = at(job, StepKind.SHIP)
    assert any("upside down" in one for one in blocking_reasons(ship, actor=actor_for(make_user("lead"))))


def test_more_in_the_way_than_was_asked_for_is_asked_for_again():
    job = make_job()
    approved(job)
    laid_out(job)
    step = at(job, StepKind.MOUNT)
    override = ask(step)
    job.steps.filter(kind=StepKind.LAY_OUT).update(state=Step.State.WAITING)
    with pytest.raises(WorkOrderError, match="More blocks this step"):
        confirm_override(actor=actor_for(make_user("engineer")), override=override)


def test_the_second_persons_place_is_left_out_or_kept_never_signed_by_somebody_who_did_not_look():
    job = make_job()
    approved(job)
    built(job, "ddu")
    with pytest.raises(WorkOrderError, match="cannot be overridden that way"):
        ask(at(job, StepKind.SECOND_PERSON), act=Override.Act.PASS)


def test_traveler_and_card_print_an_override_with_both_names_and_the_customer_reads_only_their_own_words():
    job = matching_job()
    lead, second = make_user("lead", first_name="Ada", last_name="Bell"), make_user("engineer")
    override = ask(at(job, StepKind.END_PLAY), lead, tell_customer="End play was not measured.")
    reader = Reader("us")
    assert papers.traveler(job, reader)["overrides"] == []
    assert not Override.objects.for_customer().exists()
    confirm_override(actor=actor_for(second), override=override)
    for content in (papers.traveler(job, reader), papers.stack_card(job, reader)):
        (row,) = content["overrides"]
        assert REASON in row["reason"]
        assert "Ada Bell" in row["by"]
        assert str(second) in row["by"]
    assert [one.tell_customer for one in Override.objects.for_customer()] == ["End play was not measured."]


def signed_in(user: Any) -> Client:
    client = Client()
    client.force_login(user)
    return client


def test_at_the_bench_one_asks_and_the_other_confirms_in_a_session_of_their_own():
    step = at(matching_job(), StepKind.END_PLAY)
    lead, second = signed_in(make_user("lead")), signed_in(make_user("engineer"))
    url = reverse("bench:override", args=[step.job.number, step.pk])
    job_page = reverse("bench:job", args=[step.job.number])
    assert "Override this step" in lead.get(job_page).content.decode()
    assert "Skip step" not in lead.get(job_page).content.decode()
    body = {"do": "ask", "act": "skip", "reason": "rush", "form_key": "a", "tell_customer": "kept"}
    refused = lead.post(url, body)
    assert refused.status_code == 422
    assert "at least 15" in refused.content.decode()
    assert "kept" in refused.content.decode()
    for _twice in range(2):
        assert lead.post(url, {**body, "reason": REASON, "form_key": "b"}).status_code == 302
    override = Override.objects.get()
    own = lead.post(url, {"do": "confirm", "override": str(override.pk), "form_key": "c"})
    assert own.status_code == 422
    assert "Review override" in second.get(job_page).content.decode()
    assert second.post(url, {"do": "confirm", "override": "0", "form_key": "d"}).status_code == 422
    page = second.get(url).content.decode()
    assert REASON in page
    confirmed = {"do": "confirm", "override": str(override.pk), "form_key": "e"}
    for _twice in range(2):
        assert second.post(url, confirmed).status_code == 302
    assert "OVERRIDE" in signed_in(make_user()).get(job_page).content.decode()
    office = signed_in(make_user("office"))
    assert "OVERRIDE" in office.get(reverse("office:board")).content.decode()
    assert "OVERRIDE" in office.get(reverse("office:job", args=[step.job.number])).content.decode()
    assert signed_in(make_user()).get(url).status_code == 403


def test_an_actor_of_a_request_carries_the_session_and_whether_a_pin_opened_it(rf):

    client = signed_in(make_user("lead"))
    request = rf.get("/")
    request.user, request.session = make_user("lead"), client.session
    first = actor_of(request)
    assert len(first.session) == 64
    assert not first.by_pin
    request.session[BENCH] = {"pin": None, "must_change": False}
    assert not actor_of(request).by_pin
    request.session[BENCH] = {"pin": 2, "must_change": False}
    assert actor_of(request).by_pin
