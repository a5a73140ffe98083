"""Steps put in, done again and let pass: places, reasons and who may."""

from __future__ import annotations

import pytest

from repairs.ledger.models import Event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import SignOff, Step
from repairs.work_orders.services.route import (
    add_step,
    current_step,
    override_gate,
    repeat_step,
    sign_off,
)
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def order(job) -> list[tuple[int, str]]:
    return list(job.steps.order_by("position").values_list("position", "title"))


def test_steps_put_behind_one_another_never_share_a_place_and_keep_their_order():
    job, lead = make_job(), actor_for(make_user("lead"))
    first = job.steps.order_by("position").first()
    before = [title for _position, title in order(job)]
    for title in ("Weigh", "Photograph", "Bore scope"):
        add_step(actor=lead, job=job, after=first, kind="other", title=title)
    found = order(job)
    assert [title for _position, title in found] == [
        before[0],
        "Bore scope",
        "Photograph",
        "Weigh",
        *before[1:],
    ]
    assert [position for position, _title in found][:4] == [10, 11, 12, 13]
    assert len({position for position, _title in found}) == len(found)
    last = add_step(actor=lead, job=job, after=None, kind="other", title="Wrap")
    assert order(job)[-1] == (last.position, "Wrap")
    assert last.position == found[-1][0] + 10
    job.refresh_from_db()
    assert job.steps_total == len(found) + 1
    with pytest.raises(WorkOrderError, match="Enter a step title"):
        add_step(actor=lead, job=job, after=None, kind="other", title="  ")


def test_a_job_without_steps_gets_its_first_at_ten():
    job = make_job()
    job.steps.all().delete()
    step = add_step(actor=actor_for(make_user("lead")), job=job, after=None, kind="other", title="Weigh")
    assert step.position == 10
    assert current_step(job) == step


def test_a_step_done_again_stands_behind_the_one_before_with_a_reason():
    job, lead = make_job(), actor_for(make_user("lead"))
    step = job.steps.get(kind="winding")
    with pytest.raises(WorkOrderError, match="redoing"):
        repeat_step(actor=lead, step=step, reason=" ")
    again = repeat_step(actor=lead, step=step, reason="a coil was pinched")
    assert (again.kind, again.title, again.position) == ("winding", "Winding (redo)", step.position + 1)
    event = Event.objects.get(verb="step.repeated")
    assert (event.reason, event.before) == ("a coil was pinched", {"step": "Winding"})


@pytest.mark.parametrize(
    ("kind", "chargeable", "can"),
    [
        ("observe", False, True), ("winding", False, True), ("machining", False, True), ("balance", False, True),
        ("winding", True, True), ("receive", True, True), ("receive", False, False), ("mount", False, False),
        ("ship", False, False), ("final_test", False, False), ("approval", False, False),
    ],
)  # fmt: skip
def test_a_lead_opens_a_gate_of_money_and_no_other(kind, chargeable, can):
    job, lead = make_job(), make_user("lead")
    step = Step.objects.create(job=job, position=999, kind=kind, title="This one", chargeable=chargeable)
    if not can:
        with pytest.raises(WorkOrderError, match="no gate that a lead can override"):
            override_gate(actor=actor_for(lead), step=step, reason="goodwill")
        return
    signature = override_gate(actor=actor_for(lead), step=step, reason="goodwill")
    assert (signature.signed_as, signature.note, signature.person) == (SignOff.As.OVERRIDE, "goodwill", lead)
    assert Event.objects.get(verb="gate.opened").reason == "goodwill"
    step.refresh_from_db()
    assert step.state == Step.State.WAITING


@pytest.mark.parametrize(
    ("role", "may"), [("technician", False), ("engineer", False), ("office", False), ("lead", True)]
)
def test_only_a_lead_opens_it_and_says_why(role, may):
    job = make_job()
    step = job.steps.get(kind="winding")
    actor = actor_for(make_user(role))
    if may:
        with pytest.raises(WorkOrderError, match="Enter why") as refusal:
            override_gate(actor=actor, step=step, reason=" ")
        assert refusal.value.field == "reason"
    else:
        with pytest.raises(WorkOrderError, match="Only a lead"):
            override_gate(actor=actor, step=step, reason="goodwill")
    assert not step.sign_offs.exists()


def test_a_step_is_signed_once_not_while_the_job_is_on_hold_and_moves_the_board():
    job, worker = make_job(), make_user()
    step = job.steps.get(kind="receive")
    job.hold_words, job.on_hold = "Waits for a crane", True
    job.save()
    with pytest.raises(WorkOrderError, match="on hold: Waits for a crane"):
        sign_off(actor=actor_for(worker), step=step)
    job.on_hold = False
    job.save()
    signature = sign_off(actor=actor_for(worker), step=step, note="two crates")
    assert (signature.person, signature.person_name, signature.note) == (worker, str(worker), "two crates")
    step.refresh_from_db()
    assert step.state == Step.State.DONE
    assert step.started_at is not None
    assert step.ended_at is not None
    job.refresh_from_db()
    assert (job.step_kind, job.step_title) == ("strip_record", "Strip down, record as found")
    assert job.last_person == str(worker)
    event = Event.objects.get(verb="step.signed")
    assert event.after == {"step": "Receive and tag", "as": "worker", "note": "two crates"}
    with pytest.raises(WorkOrderError, match="already signed off or skipped"):
        sign_off(actor=actor_for(worker), step=step)
