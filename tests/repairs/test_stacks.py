"""Stack records from as found to as built: nothing silent, nothing changed after signing."""

from __future__ import annotations

from typing import Any

import pytest

from repairs.ledger.models import Event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import judge, stored_findings
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.models.stacks import FrozenRecordError
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services import stack_changes as changes
from repairs.work_orders.services import stack_editing as editing
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.warning_words import alert_text
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
from tests.repairs.signed_stacks import approve, approved, built, with_photo

pytestmark = [pytest.mark.django_db, pytest.mark.data]


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
    record = changes.undo_change(actor=actor, record=record, version=3)
    record = changes.undo_change(actor=actor, record=record, version=4)
    assert [entry["uid"] for entry in record.items] == ["top", "b1", "b2", "b3", "nut"]
    with pytest.raises(WorkOrderError, match="Nothing to undo"):
        changes.undo_change(actor=actor, record=record, version=5)


def test_an_impossible_size_is_refused_beside_its_field():
    record, actor = make_stack_record(), actor_for(make_user())
    wrong = {**bearing_item("x", "down", "9")["data"], "bore_mm": 300}
    with pytest.raises(editing.InvalidItemError) as refusal:
        editing.add_item(actor=actor, record=record, version=1, data=wrong)
    assert "outside_diameter_mm" in refusal.value.mistakes


def test_a_stack_without_photo_or_top_cannot_be_signed():
    record = make_stack_record()
    with pytest.raises(WorkOrderError, match=r"top of the mount.*Photo"):
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


def test_the_board_names_a_bearing_turned_over_before_other_differences():
    job = make_job()
    approved(job)
    user = make_user()
    record = with_photo(make_stack_record(job, Stage.AS_BUILT, "duu", started_by=user))
    items = [{**entry, "data": {**entry["data"]}} for entry in record.items]
    items[0]["data"]["ring"] = "outer"
    record.items = items
    record.save()
    signing.submit_built(actor=actor_for(user), record=record, version=record.version)
    job.refresh_from_db()
    assert len(StackRecord.objects.get(pk=record.pk).differences) > 1
    assert job.alert["code"] == "turned-over"
    assert "text" not in job.alert
    assert alert_text(job.alert, "us").startswith("Bearing 2 is upside down.")


def test_a_part_whose_ring_is_not_written_down_is_not_specified_because_every_build_would_differ_from_it():
    record = make_stack_record(stage=Stage.SPECIFIED)
    items = [{**entry, "data": {**entry["data"]}} for entry in record.items]
    del items[-1]["data"]["ring"]
    record.items = items
    record.save()
    lead = actor_for(make_user("lead"))
    with pytest.raises(WorkOrderError, match="Part b: enter which ring"):
        approving.approve_specified(actor=lead, record=record, version=record.version)


def test_a_stack_with_an_open_stop_is_not_approved_until_two_people_accept_it_with_a_reason():
    job, lead = make_job(), actor_for(make_user("lead"))
    items = triple_items("ddu")
    for entry in items[1:4]:
        entry["data"]["limiting_speed_rpm"] = 2000
    record = make_stack_record(job, Stage.SPECIFIED, items=items)
    with pytest.raises(WorkOrderError, match=r"Bearings 1, 2 and 3 are good for .* in this set") as refused:
        approving.approve_specified(actor=lead, record=record, version=1)
    # Sentences, never the codes of the checker.
    assert "speed-margin" not in str(refused.value)
    with pytest.raises(WorkOrderError, match="Only a lead"):
        approving.accept_finding(
            actor=actor_for(make_user()), record=record, version=1, code="speed-margin", ref="1", reason="x"
        )
    finding = {"record": record, "version": 1, "code": "speed-margin", "ref": "1"}
    with pytest.raises(WorkOrderError, match="at least 15"):
        approving.accept_finding(actor=lead, **finding, reason="rush")
    with pytest.raises(WorkOrderError, match="Only a lead can ask"):
        approving.accept_finding(
            actor=actor_for(make_user("administrator")), **finding, reason="cooled in the run"
        )
    approving.accept_finding(actor=lead, **finding, reason="cooled, watched in the run")
    with pytest.raises(WorkOrderError, match="STOP findings are open"):
        approving.approve_specified(actor=lead, record=record, version=1)
    with pytest.raises(WorkOrderError, match="Another person must confirm"):
        approving.confirm_finding(actor=lead, **finding)
    with pytest.raises(WorkOrderError, match="second lead, the engineer"):
        approving.confirm_finding(actor=actor_for(make_user()), **finding)
    approving.confirm_finding(actor=actor_for(make_user("engineer")), **finding)
    signed = approve(lead, record)
    assert signed.is_frozen
    job.refresh_from_db()
    assert job.alert_severity != "stop"


def test_thrust_that_nothing_carries_is_never_accepted():
    record = make_stack_record(make_job(), Stage.SPECIFIED, "uuu")
    with pytest.raises(WorkOrderError, match="cannot be accepted"):
        approving.accept_finding(
            actor=actor_for(make_user("lead")),
            record=record,
            version=1,
            code="down-thrust-not-carried",
            ref="",
            reason="x",
        )


def test_a_motor_without_a_known_speed_gives_words_instead_of_an_answer():
    record = make_stack_record(make_job(make_motor(nameplate={})))
    judgement = judge(record, record.job.motor, {})
    assert judgement.assessment is None
    assert judgement.stack is not None
    assert judgement.hindrances


def test_a_refused_change_carries_the_newer_state_and_what_the_other_person_did():
    record, one, two = make_stack_record(), actor_for(make_user()), actor_for(make_user())
    changes_seen = record.version
    editing.turn_over(actor=two, record=record, version=changes_seen, uid="b2")
    stale = StackRecord.objects.get(pk=record.pk)
    with pytest.raises(changes.StaleRecordError) as refusal:
        editing.remove_item(actor=one, record=stale, version=changes_seen, uid="b3")
    assert refusal.value.record.items[2]["data"]["wide_face"] == "up"
    assert [(event.actor_name, event.verb) for event in refusal.value.events] == [(two.name, "stack.turned")]


def test_a_form_that_arrives_twice_turns_the_bearing_once():
    record, actor = make_stack_record(), actor_for(make_user())
    for _again in range(2):
        now = editing.turn_over(actor=actor, record=record, version=1, uid="b2", form_key="k1")
    assert (now.version, now.items[2]["data"]["wide_face"]) == (2, "up")
    with pytest.raises(changes.StaleRecordError):
        editing.turn_over(actor=actor, record=record, version=1, uid="b2", form_key="another")


def test_two_copies_of_one_form_that_arrive_together_turn_the_bearing_once():
    record, actor = make_stack_record(), actor_for(make_user())
    copies = [StackRecord.objects.get(pk=record.pk) for _copy in range(3)]
    for copy in copies[:2]:
        now = editing.turn_over(actor=actor, record=copy, version=1, uid="b2", form_key="k1")
    assert (now.version, now.items[2]["data"]["wide_face"]) == (2, "up")
    with pytest.raises(changes.StaleRecordError):
        editing.turn_over(actor=actor, record=copies[2], version=1, uid="b2", form_key="k2")


def test_a_signature_that_arrives_twice_is_given_once():
    record, actor = with_photo(make_stack_record()), actor_for(make_user())
    for _again in range(2):
        signed = signing.sign_record(actor=actor, record=record, version=record.version, form_key="s")
    assert signed.is_frozen
    assert Event.objects.filter(verb="stack.signed").count() == 1


def test_the_way_back_keeps_only_what_a_change_lost_and_reaches_twenty_changes():
    record, actor = make_stack_record(), actor_for(make_user())
    for version in range(1, 24):
        record = editing.turn_over(actor=actor, record=record, version=version, uid="b2")
    assert len(record.undo) == 20
    assert [entry["uid"] for entry in record.undo[-1]["items"]["were"]] == ["b2"]
    for version in range(24, 44):
        record = changes.undo_change(actor=actor, record=record, version=version)
    assert record.items[2]["data"]["wide_face"] == "up"  # three of the 23 turns are beyond the way back


@pytest.mark.parametrize("verb", ["turn", "move", "edit", "remove", "add", "describe", "guide"])
def test_undo_restores_the_record_after_every_kind_of_change(verb):
    record, actor = make_stack_record(), actor_for(make_user())
    before = (record.items, record.guides, record.top_identified, record.note)
    common = {"actor": actor, "record": record, "version": 1}
    bearing = bearing_item("x", "down", "9")["data"]
    guide = {key: value for key, value in bearing.items() if key not in {"kind", "wide_face"}}
    {
        "turn": lambda: editing.turn_over(**common, uid="b1"),
        "move": lambda: editing.move_item(**common, uid="b1", place=4),
        "edit": lambda: editing.edit_item(**common, uid="b1", data={**bearing, "mark": "77"}),
        "remove": lambda: editing.remove_item(**common, uid="b2"),
        "add": lambda: editing.add_item(**common, data=bearing, place=1),
        "describe": lambda: editing.describe_record(**common, top_identified=True, note="rust"),
        "guide": lambda: editing.save_guide(
            **common, data={**guide, "type": "deep_groove_ball", "contact_angle_deg": None, "carries": "up"}
        ),
    }[verb]()
    changed = StackRecord.objects.get(pk=record.pk)
    assert (changed.items, changed.guides, changed.top_identified, changed.note) != before
    back = changes.undo_change(actor=actor, record=changed, version=2)
    assert (back.items, back.guides, back.top_identified, back.note) == before


def test_a_change_takes_an_acceptance_back_because_it_was_of_the_stack_before():
    lead = actor_for(make_user("lead"))
    items = triple_items("ddu")
    for entry in items[1:4]:
        entry["data"]["limiting_speed_rpm"] = 2000
    record = make_stack_record(make_job(), Stage.SPECIFIED, items=items)
    approving.accept_finding(
        actor=lead, record=record, version=1, code="speed-margin", ref="1", reason="watched in the final run"
    )
    record = editing.turn_over(actor=lead, record=record, version=1, uid="b3")
    assert record.accepted_findings.count() == 0


def test_every_change_tells_the_ledger_what_was_and_what_is():
    record, actor = make_stack_record(), actor_for(make_user())
    editing.turn_over(actor=actor, record=record, version=1, uid="b2")
    event = Event.objects.get(verb="stack.turned")
    assert event.before == {"uid": "b2", "ref": "2", "wide_face": "down"}
    assert (event.after["ref"], event.after["wide_face"], event.after["version"]) == ("2", "up", 2)


def test_the_first_recorder_can_neither_start_nor_change_the_record_after_a_difference():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    built(job, "duu", builder)
    with pytest.raises(WorkOrderError, match="second person"):
        editing.start_record(actor=actor_for(builder), job=job, stage=Stage.AS_BUILT, reason="again")
    again = editing.start_record(actor=actor_for(other), job=job, stage=Stage.AS_BUILT, reason="again")
    assert again.items == []
    with pytest.raises(WorkOrderError, match="second person"):
        editing.describe_record(
            actor=actor_for(builder), record=again, version=1, top_identified=True, note=""
        )


def test_recording_again_needs_a_photo_that_was_not_taken_before():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    built(job, "duu", builder)
    record = make_stack_record(job, Stage.AS_BUILT, started_by=other, revision=2)
    old = picture_file(size=(64, 41))
    add_photos(actor=actor_for(other), job=job, files=[old], stack_record=record)
    record.top_identified = True
    record.save()
    with pytest.raises(WorkOrderError, match="new photo"):
        signing.submit_built(actor=actor_for(other), record=record, version=1)
    add_photos(actor=actor_for(other), job=job, files=[picture_file(size=(64, 99))], stack_record=record)
    assert signing.submit_built(actor=actor_for(other), record=record, version=1).differences == []


def test_directions_are_told_of_a_stack_whose_motor_is_not_known():
    record = make_stack_record(make_job(make_motor(nameplate={})), faces="uuu")
    judgement = judge(record, record.job.motor, {})
    assert judgement.arrangement is not None
    assert [finding.code for finding in judgement.findings] == ["down-thrust-not-carried"]


def as_built_with(job: Job, **changed: Any) -> StackRecord:
    """A stack as built whose bearing 2 says what is given, and leaves open what is None."""
    items = triple_items("ddu")
    data = {**items[2]["data"], **changed}
    items[2]["data"] = {key: value for key, value in data.items() if value is not None}
    user = make_user()
    record = with_photo(make_stack_record(job, Stage.AS_BUILT, items=items, started_by=user))
    return signing.submit_built(actor=actor_for(user), record=record, version=record.version)


def test_what_nobody_can_see_at_the_mount_may_be_left_open_as_built():
    job = make_job()
    approved(job)
    assert as_built_with(job, pair_preload_n=None, ball_count=None, ball_diameter_mm=None).differences == []


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"pair_preload_n": 900}, "rating-changed"),
        ({"maker": None}, "not-shown"),
        ({"designation": "7320 X"}, "replaced"),
        ({"ball_count": 12}, "replaced"),
    ],
)
def test_what_is_stated_as_built_and_differs_is_a_difference(changed, code):
    job = make_job()
    approved(job)
    assert [row["code"] for row in as_built_with(job, **changed).differences] == [code]


def test_as_built_must_say_what_can_be_seen_before_it_is_submitted():
    job, user = make_job(), make_user()
    approved(job)
    items = triple_items("ddu")
    del items[1]["data"]["designation"]
    del items[4]["data"]["ring"]
    record = with_photo(make_stack_record(job, Stage.AS_BUILT, items=items, started_by=user))
    with pytest.raises(WorkOrderError, match=r"Bearing 1: designation.*Part b: enter which ring"):
        signing.submit_built(actor=actor_for(user), record=record, version=record.version)


def test_a_change_takes_a_stack_back_that_was_handed_to_the_lead():
    record, engineer = make_stack_record(make_job(), Stage.SPECIFIED), actor_for(make_user("engineer"))
    handed = approving.submit_specified(actor=engineer, record=record, version=1)
    assert handed.state == StackRecord.State.SUBMITTED
    back = editing.turn_over(actor=engineer, record=handed, version=2, uid="b3")
    assert back.state == StackRecord.State.DRAFT


def test_what_marked_the_bearings_found_is_not_specified_for_those_that_go_in():
    found = make_stack_record()
    assert any(entry["data"].get("mark") for entry in found.items)
    lead = actor_for(make_user("lead"))
    specified = editing.start_record(actor=lead, job=found.job, stage=Stage.SPECIFIED, copy_from=found)
    assert [entry["uid"] for entry in specified.items] == [entry["uid"] for entry in found.items]
    assert not any(entry["data"].get("mark") or entry["data"].get("serial") for entry in specified.items)
    found.refresh_from_db()
    assert any(entry["data"].get("mark") for entry in found.items)
