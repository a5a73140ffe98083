"""What keeps a step from being signed, and what a lead may open."""

from __future__ import annotations

import pytest

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import STACK_STEPS, blocking_reasons
from repairs.work_orders.models import Stage, Step, StepKind
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import override_gate, sign_off
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file
from tests.repairs.signed_stacks import approved, built, laid_out, looked_at

pytestmark = [pytest.mark.django_db, pytest.mark.data]
NOT_MEASURED = ["End play: not measured yet.", "Shaft runout (TIR): not measured yet."]


def test_a_bearing_turned_over_stops_the_job_until_a_second_person_records_the_stack_again():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    wrong = built(job, "duu", builder)
    assert [row["code"] for row in wrong.differences] == ["turned-over"]
    job.refresh_from_db()
    assert job.alert_severity == "stop"
    step = job.steps.get(kind=StepKind.END_PLAY)
    assert any("turned over" in reason for reason in blocking_reasons(step, actor=actor_for(other)))
    with pytest.raises(WorkOrderError, match="second person"):
        built(job, "ddu", builder)
    job.stack_records.filter(state="draft").first()
    draft = job.stack_records.get(stage=Stage.AS_BUILT, state="draft")
    right = signing.submit_built(actor=actor_for(other), record=draft, version=draft.version)
    assert right.differences == []
    job.refresh_from_db()
    assert job.alert_severity != "stop"


def test_the_one_who_built_it_cannot_be_the_second_person():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    record = built(job, "ddu", builder)
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    looked_at(record, other)
    assert any("Another person" in reason for reason in blocking_reasons(step, actor=actor_for(builder)))
    assert blocking_reasons(step, actor=actor_for(other)) == []
    end_play = job.steps.get(kind=StepKind.END_PLAY)
    assert blocking_reasons(end_play, actor=actor_for(other)) != []
    sign_off(actor=actor_for(other), step=step)
    assert blocking_reasons(end_play, actor=actor_for(builder)) == NOT_MEASURED


def test_mounting_waits_for_the_lay_out_and_the_lay_out_for_its_photo():
    job, worker = make_job(), actor_for(make_user())
    approved(job)
    lay_out, mount = (job.steps.get(kind=kind) for kind in (StepKind.LAY_OUT, StepKind.MOUNT))
    assert any("photo" in reason for reason in blocking_reasons(lay_out, actor=worker))
    add_photos(actor=worker, job=job, files=[picture_file()], step=lay_out)
    assert any("lay-out" in reason for reason in blocking_reasons(mount, actor=worker))
    laid_out(job)
    sign_off(actor=worker, step=lay_out)
    assert blocking_reasons(mount, actor=worker) == ["The stack as built is not recorded and submitted yet."]


def test_a_stack_that_was_built_otherwise_stops_the_job_at_the_mount():
    job, builder = make_job(), make_user()
    approved(job)
    laid_out(job)
    job.steps.filter(kind=StepKind.LAY_OUT).update(state=Step.State.DONE)
    mount = job.steps.get(kind=StepKind.MOUNT)
    built(job, "duu", builder)
    reasons = blocking_reasons(mount, actor=actor_for(builder))
    assert any("differs from the specified one" in reason and "turned over" in reason for reason in reasons)


def test_chargeable_work_waits_for_the_approval():
    job = make_job()
    winding = job.steps.get(kind=StepKind.WINDING)
    assert blocking_reasons(winding, actor=actor_for(make_user())) != []
    Step.objects.filter(job=job, kind=StepKind.APPROVAL).update(state=Step.State.DONE)
    assert blocking_reasons(winding, actor=actor_for(make_user())) == []


def test_a_deviation_that_the_lead_specifies_anew_is_no_difference_any_more():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    record = built(job, "dud", builder)
    looked_at(record, other, "dud")
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    assert blocking_reasons(step, actor=actor_for(other)) != []
    lead = actor_for(make_user("lead"))
    anew = make_stack_record(job, Stage.SPECIFIED, "dud", revision=2)
    assert any("Revision 2" in reason for reason in blocking_reasons(step, actor=actor_for(other)))
    approving.approve_specified(actor=lead, record=anew, version=1)
    assert blocking_reasons(step, actor=actor_for(other)) == []
    job.refresh_from_db()
    assert job.alert_severity != "stop"


def test_a_stack_recorded_again_must_be_looked_at_again():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    looked_at(built(job, "ddu", builder), other)
    sign_off(actor=actor_for(other), step=job.steps.get(kind=StepKind.SECOND_PERSON))
    built(job, "ddu", builder)
    reasons = blocking_reasons(job.steps.get(kind=StepKind.END_PLAY), actor=actor_for(builder))
    assert any("Repeat that step" in reason for reason in reasons)


def test_an_override_opens_the_estimates_gate_but_never_that_of_the_stack():
    job, lead = make_job(), make_user("lead")
    mount = job.steps.get(kind=StepKind.MOUNT)
    mount.chargeable = True
    mount.save()
    assert any("estimate" in reason for reason in blocking_reasons(mount, actor=actor_for(lead)))
    override_gate(actor=actor_for(lead), step=mount, reason="goodwill")
    reasons = blocking_reasons(mount, actor=actor_for(lead))
    assert not any("estimate" in reason for reason in reasons)
    assert any("specified stack" in reason for reason in reasons)


def test_a_horizontal_motor_without_a_stack_is_not_held_by_the_stacks_gates():
    job = make_job()
    job.steps.filter(kind__in=STACK_STEPS).delete()
    reasons = blocking_reasons(job.steps.get(kind=StepKind.END_PLAY), actor=actor_for(make_user()))
    assert reasons == NOT_MEASURED
