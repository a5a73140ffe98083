"""Stack records from as found to as built: nothing silent, nothing changed after signing."""

from __future__ import annotations

from typing import Any

import pytest

from repairs.ledger.models import Event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.judging import judge, stored_findings
from repairs.work_orders.models import Job, StackRecord, Stage, Step, StepKind
from repairs.work_orders.models.stacks import FrozenRecordError
from repairs.work_orders.services import stack_editing as editing
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import sign_off
from tests.repairs.factories import (
    actor_for,
    bearing_item,
    make_job,
    make_motor,
    make_stack_record,
    make_user,
    picture_file,
    triple_items,
)

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def with_photo(record: StackRecord) -> StackRecord:
    user = record.started_by
    add_photos(actor=actor_for(user), job=record.job, files=[picture_file()], stack_record=record)
    record.top_identified = True
    record.save()
    return record


def approved(job: Job, faces: str = "ddu") -> StackRecord:
    lead = actor_for(make_user("lead"))
    record = make_stack_record(job, Stage.SPECIFIED, faces)
    return signing.approve_specified(actor=lead, record=record, version=record.version)


def built(job: Job, faces: str, by: Any = None) -> StackRecord:
    user = by or make_user()
    record = with_photo(make_stack_record(job, Stage.AS_BUILT, faces, started_by=user, revision=_next(job)))
    return signing.submit_built(actor=actor_for(user), record=record, version=record.version)


def _next(job: Job) -> int:
    return job.stack_records.filter(stage=Stage.AS_BUILT).count() + 1


def test_turning_a_bearing_over_twice_brings_it_back_and_leaves_two_events():
    record, actor = make_stack_record(), actor_for(make_user())
    once = editing.turn_over(actor=actor, record=record, version=1, uid="b2")
    assert [e["data"].get("wide_face") for e in once.items] == [None, "down", "up", "up", None]
    twice = editing.turn_over(actor=actor, record=once, version=2, uid="b2")
    assert twice.items == triple_items("ddu")
    assert Event.objects.filter(verb="stack.turned").count() == 2


def test_a_change_that_saw_an_older_version_is_refused_and_changes_nothing():
    record, actor = make_stack_record(), actor_for(make_user())
    editing.turn_over(actor=actor, record=record, version=1, uid="b2")
    with pytest.raises(StaleVersionError):
        editing.move_item(actor=actor, record=record, version=1, uid="b1", place=3)
    record.refresh_from_db()
    assert [entry["uid"] for entry in record.items] == ["top", "b1", "b2", "b3", "nut"]


def test_moving_removing_and_taking_back():
    record, actor = make_stack_record(), actor_for(make_user())
    record = editing.move_item(actor=actor, record=record, version=1, uid="b3", place=1)
    assert [entry["uid"] for entry in record.items] == ["top", "b3", "b1", "b2", "nut"]
    record = editing.remove_item(actor=actor, record=record, version=2, uid="nut")
    record = editing.undo_change(actor=actor, record=record, version=3)
    record = editing.undo_change(actor=actor, record=record, version=4)
    assert [entry["uid"] for entry in record.items] == ["top", "b1", "b2", "b3", "nut"]
    with pytest.raises(WorkOrderError, match="nothing to take back"):
        editing.undo_change(actor=actor, record=record, version=5)


def test_an_impossible_size_is_refused_beside_its_field():
    record, actor = make_stack_record(), actor_for(make_user())
    wrong = {**bearing_item("x", "down", "9")["data"], "bore_mm": 300}
    with pytest.raises(editing.InvalidItemError) as refusal:
        editing.add_item(actor=actor, record=record, version=1, data=wrong)
    assert "outside_diameter_mm" in refusal.value.mistakes


def test_a_face_not_known_can_be_recorded_is_not_checked_and_cannot_be_signed():
    record = with_photo(make_stack_record(faces="d?u"))
    judgement = judge(record, record.job.motor, {})
    assert judgement.assessment is None
    assert judgement.unknown_faces == ("2",)
    with pytest.raises(WorkOrderError, match="face of bearing 2 is not known"):
        signing.sign_record(actor=actor_for(make_user()), record=record, version=record.version)


def test_a_stack_without_photo_or_top_cannot_be_signed():
    record = make_stack_record()
    with pytest.raises(WorkOrderError, match="top of the mount.*photo"):
        signing.sign_record(actor=actor_for(make_user()), record=record, version=1)


def test_a_signed_record_refuses_every_way_of_changing_it():
    record = with_photo(make_stack_record())
    signed = signing.sign_record(actor=actor_for(make_user()), record=record, version=record.version)
    again = StackRecord.objects.get(pk=signed.pk)
    again.note = "later"
    with pytest.raises(FrozenRecordError):
        again.save()
    with pytest.raises(FrozenRecordError):
        StackRecord.objects.filter(pk=signed.pk).update(note="later")
    with pytest.raises(FrozenRecordError):
        again.delete()
    with pytest.raises(WorkOrderError, match="signed"):
        editing.turn_over(actor=actor_for(make_user()), record=signed, version=signed.version, uid="b1")


def test_signing_keeps_the_answer_with_its_inputs_and_version():
    record = with_photo(make_stack_record())
    signed = signing.sign_record(actor=actor_for(make_user()), record=record, version=record.version)
    stored = signed.assessment
    assert stored is not None
    assert stored.stack["motor"]["down_thrust_n"] == 30000
    assert stored.answer["arrangement"]["relations"] == ["DT", "DB"]
    assert [f.code for f in stored_findings(stored)] == [f["code"] for f in stored.answer["findings"]]


def test_a_stack_with_an_open_stop_is_not_approved_until_a_lead_accepts_it_with_a_reason():
    job, lead = make_job(), actor_for(make_user("lead"))
    items = triple_items("ddu")
    for entry in items[1:4]:
        entry["data"]["limiting_speed_rpm"] = 2000
    record = make_stack_record(job, Stage.SPECIFIED, items=items)
    with pytest.raises(WorkOrderError, match="speed-margin"):
        signing.approve_specified(actor=lead, record=record, version=1)
    with pytest.raises(WorkOrderError, match="Only a lead"):
        signing.accept_finding(
            actor=actor_for(make_user()), record=record, code="speed-margin", ref="1", reason="x"
        )
    signing.accept_finding(
        actor=lead, record=record, code="speed-margin", ref="1", reason="cooled, watched in the run"
    )
    assert signing.approve_specified(actor=lead, record=record, version=1).is_frozen


def test_thrust_that_nothing_carries_is_never_accepted():
    record = make_stack_record(make_job(), Stage.SPECIFIED, "uuu")
    with pytest.raises(WorkOrderError, match="only corrected"):
        signing.accept_finding(
            actor=actor_for(make_user("lead")),
            record=record,
            code="down-thrust-not-carried",
            ref="",
            reason="x",
        )


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
    built(job, "ddu", builder)
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    assert any("Another person" in reason for reason in blocking_reasons(step, actor=actor_for(builder)))
    assert blocking_reasons(step, actor=actor_for(other)) == []
    end_play = job.steps.get(kind=StepKind.END_PLAY)
    assert blocking_reasons(end_play, actor=actor_for(other)) != []
    sign_off(actor=actor_for(other), step=step)
    assert blocking_reasons(end_play, actor=actor_for(builder)) == []


def test_mounting_waits_for_the_lay_out_and_the_lay_out_for_its_photo():
    job, worker = make_job(), actor_for(make_user())
    approved(job)
    lay_out, mount = (job.steps.get(kind=kind) for kind in (StepKind.LAY_OUT, StepKind.MOUNT))
    assert any("photo" in reason for reason in blocking_reasons(lay_out, actor=worker))
    add_photos(actor=worker, job=job, files=[picture_file()], step=lay_out)
    assert any("lay-out" in reason for reason in blocking_reasons(mount, actor=worker))
    sign_off(actor=worker, step=lay_out)
    assert blocking_reasons(mount, actor=worker) == ["The stack as built is not recorded and submitted yet."]


def test_chargeable_work_waits_for_the_approval():
    job = make_job()
    winding = job.steps.get(kind=StepKind.WINDING)
    assert blocking_reasons(winding, actor=actor_for(make_user())) != []
    Step.objects.filter(job=job, kind=StepKind.APPROVAL).update(state=Step.State.DONE)
    assert blocking_reasons(winding, actor=actor_for(make_user())) == []


def test_a_motor_without_a_known_speed_gives_words_instead_of_an_answer():
    record = make_stack_record(make_job(make_motor(nameplate={})))
    judgement = judge(record, record.job.motor, {})
    assert judgement.assessment is None
    assert judgement.stack is not None
    assert judgement.hindrances
