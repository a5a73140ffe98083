"""Gates that no bearing hangs on: who signs what is agreed, what is estimated, and the record as found."""

from __future__ import annotations

import pytest
from django.utils import timezone

from repairs.work_orders import gates
from repairs.work_orders.gates import add_gate, blocking_reasons, gate_reasons, step_done
from repairs.work_orders.models import Job, Override, SignOff, Stage, Step, StepKind
from repairs.work_orders.reasons import Reason, is_never_overridden, key_of
from repairs.work_orders.services.route import add_step, override_gate
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.rechecks.stacks import signed

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def with_estimate(job: Job) -> Job:
    lead = actor_for(make_user("lead"))
    add_step(actor=lead, job=job, after=job.steps.get(kind="observe"), kind="estimate", title="Estimate")
    return job


def reasons(job: Job, kind: str, role: str = "technician") -> str:
    step = Step.objects.select_related("job").get(job=job, kind=kind)
    return " ".join(blocking_reasons(step, actor=actor_for(make_user(role))))


@pytest.mark.parametrize("kind", ["estimate", "approval"])
@pytest.mark.parametrize(
    ("role", "signs"),
    [("technician", False), ("engineer", False), ("office", True), ("lead", True), ("administrator", True)],
)
def test_what_is_agreed_is_signed_by_those_who_speak_with_the_customer(kind, role, signs):
    assert ("they talk to the customer" in reasons(with_estimate(make_job()), kind, role)) is not signs


def test_observations_wait_for_a_proposal_where_a_stack_is_estimated():
    job = make_job()
    assert "No lead has approved a proposed stack" not in reasons(job, "observe")
    with_estimate(job)
    assert "No lead has approved a proposed stack" in reasons(job, "observe")
    make_stack_record(job, Stage.SPECIFIED)
    assert "No lead has approved a proposed stack" in reasons(job, "observe")
    signed(job, Stage.SPECIFIED, revision=2)
    assert "No lead has approved a proposed stack" not in reasons(job, "observe")


def test_observations_of_a_motor_without_a_stack_wait_for_none():
    job = with_estimate(make_job())
    job.steps.filter(kind__in=("specify", "lay_out", "mount", "second_person")).delete()
    assert "No lead has approved a proposed stack" not in reasons(job, "observe")


def test_a_lead_opens_the_gate_of_the_proposal_and_that_of_the_estimate_alone():
    job = with_estimate(make_job())
    lead = actor_for(make_user("lead"))
    observe = job.steps.get(kind="observe")
    override_gate(actor=lead, step=observe, reason="only the coupling is changed")
    assert gate_reasons(observe, lead) == []
    # A signature of another kind opens nothing.
    SignOff.objects.update(signed_as=SignOff.As.WORKER)
    assert "No lead has approved a proposed stack" in " ".join(gate_reasons(observe, lead))


def test_strip_down_waits_for_the_signed_record_as_found():
    job = make_job()
    assert "as found is not recorded and signed" in reasons(job, "strip_record")
    record = make_stack_record(job)
    assert "as found is not recorded and signed" in reasons(job, "strip_record")
    signed(job, Stage.AS_FOUND, revision=2)
    assert reasons(job, "strip_record") == ""
    make_stack_record(job, revision=3)
    assert "as found is not recorded and signed" in reasons(job, "strip_record")
    assert record.revision == 1


@pytest.mark.parametrize(("state", "done"), [("done", True), ("waiting", False), ("skipped", False)])
def test_a_kind_of_step_is_done_when_every_one_of_it_is(state, done):
    job = make_job()
    step = job.steps.get(kind="approval")
    Step.objects.filter(pk=step.pk).update(state=state)
    assert step_done(job.steps.get(kind="winding"), "approval") is done
    add_step(
        actor=actor_for(make_user("lead")), job=job, after=step, kind="approval", title="Approval, again"
    )
    assert not step_done(job.steps.get(kind="winding"), "approval")
    assert not step_done(job.steps.get(kind="winding"), "machining")


def test_a_gate_that_a_room_adds_is_asked_once_and_says_each_reason_once(monkeypatch):
    # Gates stay for as long as the process runs; these must go with the test.
    monkeypatch.setattr(gates, "_added", {})
    job = make_job()
    step = job.steps.get(kind=StepKind.RECEIVE)
    asked = []

    def scale_is_free(step, actor):
        asked.append(step)
        return ["The scale is in use."] if step.job_id == job.pk else []

    def said_again(step, actor):
        return ["The scale is in use.", "The crane is in use."] if step.job_id == job.pk else []

    for gate in (scale_is_free, scale_is_free, said_again):
        add_gate(StepKind.RECEIVE, gate)
    found = gate_reasons(step, actor_for(make_user()))
    assert found == ["The scale is in use.", "The crane is in use."]
    assert len(asked) == 1


def test_two_people_open_the_facts_that_they_named_on_this_job_and_nothing_else(monkeypatch):
    monkeypatch.setattr(gates, "_added", {})
    job, elsewhere, lead, second = make_job(), make_job(), make_user("lead"), make_user("engineer")
    told = [Reason("one", "a:1"), Reason("two", "a:2"), "plain", Reason("never", "a:3", never=True)]
    add_gate(StepKind.RECEIVE, lambda _step, _actor: list(told))
    for covered, where in (("a:1", job), ("", job), ("a:3", job), ("a:2", elsewhere)):
        Override.objects.create(
            job=where, step=where.steps.get(kind=StepKind.SHIP), act=Override.Act.PASS, lead=lead, second=second,
            reasons=[{"key": covered, "text": "said"}], confirmed_at=timezone.now(),
        )  # fmt: skip
    step = job.steps.get(kind=StepKind.RECEIVE)
    assert blocking_reasons(step, actor=actor_for(second)) == ["two", "plain", "never"]


def test_a_reason_knows_its_fact_and_whether_two_people_can_open_it():
    plain, fact, never = "No.", Reason("No.", "link:mount:7"), Reason("No.", "never:7", never=True)
    assert [key_of(one) for one in (plain, fact, never)] == ["", "link:mount:7", "never:7"]
    assert [is_never_overridden(one) for one in (plain, fact, never)] == [False, False, True]
    assert plain == fact == never
