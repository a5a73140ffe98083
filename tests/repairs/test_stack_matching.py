"""A candidate of a match goes into the specified stack: once, as seen, in the pattern's order and faces."""

from __future__ import annotations

import pytest

from repairs.ledger.models import Event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Stage, Step
from repairs.work_orders.services import stack_changes as changes
from repairs.work_orders.services import stack_editing as editing
from repairs.work_orders.services.stack_matching import seen_mark, use_candidate
from tests.repairs.factories import (
    actor_for,
    bearing_item,
    make_job,
    make_rating,
    make_source,
    make_stack_record,
    make_user,
    triple_items,
)
from tests.repairs.signed_stacks import approve, approved

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def use(pattern, rating, **more):
    usual = {"actor": actor_for(make_user("engineer")), "seen": "none", "form_key": "k1"}
    return use_candidate(**{**usual, "pattern": pattern, "rating": rating, **more})


def faces(record) -> list[str | None]:
    return [entry["data"].get("wide_face") for entry in record.items]


def test_a_job_without_a_specified_stack_gets_one_with_the_candidate_in_order_and_faces():
    pattern = make_stack_record(faces="ddu")
    rating = make_rating(make_source(edition="2024"), designation="7320 X", variant="40°")
    record = use(pattern, rating)
    record.refresh_from_db()
    assert (record.stage, record.revision, record.state) == (Stage.SPECIFIED, 1, "draft")
    assert faces(record) == [None, "down", "down", "up", None]
    new = [entry for entry in record.items if entry["data"]["kind"] == "bearing"]
    assert {(one["rating_id"], one["data"]["designation"]) for one in new} == {(rating.pk, "7320 X")}
    assert {one["data"]["source"] for one in new} == {str(rating.source)}
    assert all("mark" not in one["data"] and "pair_preload_n" not in one["data"] for one in new)
    assert len({one["uid"] for one in record.items}) == 5
    assert [entry["data"] for entry in record.items if entry["data"]["kind"] != "bearing"] == [
        entry["data"] for entry in pattern.items if entry["data"]["kind"] != "bearing"
    ]


def test_the_ledger_says_which_rating_of_which_source_went_where():
    rating = make_rating(designation="7320 X")
    use(make_stack_record(faces="du"), rating)
    event = Event.objects.get(verb="stack.candidate_used")
    assert event.after["ratings"] == [
        {"ref": ref, "rating_id": rating.pk, "designation": "7320 X", "source": str(rating.source)}
        for ref in ("1", "2")
    ]
    assert [one["designation"] for one in event.before["bearings"]] == ["7320", "7320"]


def test_the_same_form_sent_twice_makes_one_record_and_one_event():
    pattern, rating, actor = make_stack_record(), make_rating(), actor_for(make_user("engineer"))
    first = use(pattern, rating, actor=actor)
    again = use(pattern, rating, actor=actor)
    assert (again.pk, again.version) == (first.pk, first.version)
    assert Event.objects.filter(verb="stack.candidate_used").count() == 1


def test_an_open_specified_stack_is_changed_as_it_was_seen_and_can_be_taken_back():
    pattern = make_stack_record()
    draft = make_stack_record(pattern.job, Stage.SPECIFIED, faces="dd")
    engineer = actor_for(make_user("engineer"))
    record = use(pattern, make_rating(designation="7320 X"), seen=seen_mark(draft), actor=engineer)
    assert (record.pk, faces(record)) == (draft.pk, [None, "down", "down", "up", None])
    back = changes.undo_change(actor=engineer, record=record, version=record.version)
    assert back.items == triple_items("dd")


def test_a_change_that_was_not_seen_is_kept():
    pattern = make_stack_record()
    draft = make_stack_record(pattern.job, Stage.SPECIFIED)
    seen = seen_mark(draft)
    editing.turn_over(actor=actor_for(make_user("engineer")), record=draft, version=1, uid="b1")
    with pytest.raises(StaleVersionError, match="Someone else changed"):
        use(pattern, make_rating(), seen=seen)
    draft.refresh_from_db()
    assert faces(draft) == [None, "up", "down", "up", None]


def test_after_an_approved_stack_a_new_revision_needs_a_reason():
    pattern = make_stack_record()
    signed = approved(pattern.job)
    with pytest.raises(WorkOrderError) as refusal:
        use(pattern, make_rating(), seen=seen_mark(signed))
    assert refusal.value.field == "reason"
    record = use(pattern, make_rating(), seen=seen_mark(signed), reason="faster bearing")
    assert (record.revision, record.reason) == (2, "faster bearing")


@pytest.mark.parametrize("state", [Step.State.WAITING, Step.State.DONE])
def test_before_the_estimate_it_is_a_proposal(state):
    pattern = make_stack_record()
    # The route of the factory has no estimate: its approval stands for it.
    pattern.job.steps.filter(kind="approval").update(state=state)
    assert use(pattern, make_rating()).is_proposal is (state == Step.State.WAITING)


def test_a_proposal_that_is_approved_after_the_estimate_is_none_any_more():
    job, lead = make_job(), actor_for(make_user("lead"))
    record = use(make_stack_record(job), make_rating(figures=fast_enough()))
    assert record.is_proposal
    job.steps.filter(kind="approval").update(state=Step.State.DONE)
    approve(lead, record)
    record.refresh_from_db()
    assert (record.state, record.is_proposal) == ("signed", False)


def fast_enough() -> dict[str, float]:
    return {
        "contact_angle_deg": 40,
        "dynamic_rating_n": 216000,
        "static_rating_n": 208000,
        "limiting_speed_rpm": 3200,
    }


def test_springs_stay_where_they_are_in_the_mount():
    items = [bearing_item("b1", "down", "1", spring_force_n=4200)]
    record = use(make_stack_record(items=items), make_rating())
    assert record.items[0]["data"]["spring_force_n"] == 4200


@pytest.mark.parametrize(
    ("items", "words"),
    [
        ([], "no bearing that carries thrust"),
        ([bearing_item("b1", "down", "1", bore_mm=-100)], "Part 1 of the pattern cannot be read"),
        ([bearing_item("b1", None, "1")], "wide face of bearing 1"),
        ([{"uid": "n", "rating_id": None, "data": {"kind": "lock_nut"}}], "no bearing that carries thrust"),
    ],
)
def test_a_pattern_without_a_set_is_refused_and_nothing_is_begun(items, words):
    pattern = make_stack_record(items=items)
    with pytest.raises(WorkOrderError, match=words):
        use(pattern, make_rating())
    assert not pattern.job.stack_records.filter(stage=Stage.SPECIFIED).exists()


def test_a_bearing_of_another_type_is_refused():
    with pytest.raises(WorkOrderError, match="different type"):
        use(make_stack_record(), make_rating(type="deep_groove_ball"))
