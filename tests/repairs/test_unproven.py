"""What is not proven is approved only with the lead's own reason for each subject that decides."""

from __future__ import annotations

import pytest

from bearings.public import NotChecked
from repairs.documents.content.reader import CANONICAL
from repairs.documents.content.stacks import stack_section
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import judge, shop_limits
from repairs.work_orders.models import Stage
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services.stack_editing import InvalidItemError
from repairs.work_orders.unproven import code_of, unproven_of, unproven_rows
from tests.repairs.factories import (
    actor_for,
    make_job,
    make_motor,
    make_stack_record,
    make_user,
    triple_items,
)

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_a_stack_that_is_not_proven_is_approved_only_with_a_reason_for_each_subject_that_decides():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    lead = actor_for(make_user("lead"))
    open_ = unproven_of(judge(record, record.job.motor, shop_limits()))
    assert {"speed", "life", "set"} <= set(open_)
    assert "heat" not in open_  # it does not decide
    for number, subject in enumerate(open_):
        with pytest.raises(WorkOrderError, match="Not proven"):
            approving.approve_specified(actor=lead, record=record, version=1)
        given = {"record": record, "version": 1, "code": code_of(subject), "ref": ""}
        with pytest.raises(WorkOrderError, match="Only a lead"):
            approving.accept_finding(actor=actor_for(make_user()), **given, reason="the pump maker will say")
        with pytest.raises(WorkOrderError, match="at least 15"):
            approving.accept_finding(actor=lead, **given, reason="short")
        approving.accept_finding(actor=lead, **given, reason=f"figure number {number} follows by mail")
    signed = approving.approve_specified(actor=lead, record=record, version=1)
    assert signed.is_frozen
    assert signed.accepted_findings.count() == len(open_)


def test_a_subject_that_is_proven_cannot_be_let_pass():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    with pytest.raises(WorkOrderError, match="no longer on the stack"):
        approving.accept_finding(
            actor=actor_for(make_user("lead")), record=record, version=1, code=code_of("directions"), ref="",
            reason="the pump maker will say",
        )  # fmt: skip


@pytest.mark.parametrize(
    "code",
    [
        "down-thrust-not-carried",
        "up-thrust-not-carried",
        "duty-not-carried",
        "thrust-on-guide",
        "guide-without-thrust",
        "washers-part",
    ],
)
def test_a_thrust_that_nothing_carries_is_corrected_and_accepted_by_no_lead(code):
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    with pytest.raises(WorkOrderError, match="Correct the stack"):
        approving.accept_finding(
            actor=actor_for(make_user("lead")), record=record, version=1, code=code, ref="",
            reason="the pump maker will say",
        )  # fmt: skip


@pytest.mark.parametrize(
    ("code", "uid", "change"),
    [
        ("envelope", "b1", {"outside_diameter_mm": 225}),
        ("mixed-set", "b1", {"designation": "7320 B"}),
        ("stand-out-mismatch", "b1", {"stand_out_um": 60.0}),
        ("not-a-matched-arrangement", "b1", {"wide_face": "up"}),
        ("thrust-through-snap-ring", "top", {"kind": "snap_ring"}),
        ("spacer-pair", "new", {"kind": "spacer", "ring": "inner", "height_mm": 12.0}),
    ],
)
def test_of_a_motor_without_a_speed_what_needs_none_is_told(code, uid, change):
    plate = {name: value for name, value in make_motor().nameplate.items() if name != "rated_speed_rpm"}
    record = make_stack_record(make_job(make_motor(nameplate=plate)), Stage.SPECIFIED)
    record.items.insert(2, {"uid": "new", "rating_id": None, "data": {"kind": "shim", "ring": "both"}})
    for one in record.items:
        if one["data"]["kind"] == "bearing":
            one["data"]["stand_out_um"] = 0.0
        if one["uid"] == uid:
            one["data"].update(change)
    judged = judge(record, record.job.motor, shop_limits())
    assert judged.hindrances
    assert code in {one.code for one in judged.findings}


def test_traveler_and_report_tell_what_was_not_proven_and_why_it_was_approved():
    job = make_job()
    lead = actor_for(make_user("lead"))
    record = make_stack_record(job, Stage.SPECIFIED)
    for subject in unproven_of(judge(record, job.motor, shop_limits())):
        approving.accept_finding(
            actor=lead, record=record, version=1, code=code_of(subject), ref="",
            reason=f"the pump maker sends it, {subject}", tell_customer=f"We ask the pump maker about {subject}.",
        )  # fmt: skip
    signed = approving.approve_specified(actor=lead, record=record, version=1)
    shop = stack_section(signed, CANONICAL)
    (life,) = [row for row in shop["findings"] if row["code"] == code_of("life")]
    assert "the pump maker sends it, life" in life["accepted"]
    assert "Pairing" in life["title"]
    assert not any(row["title"].startswith("Life") for row in shop["not_checked"])
    told = " ".join(
        row["title"] for row in stack_section(signed, CANONICAL, for_customer=True)["not_checked"]
    )
    assert "We ask the pump maker about life." in told
    assert "the pump maker sends it" not in told


def test_a_subject_says_what_itself_lacks_and_nothing_of_another_or_of_the_whole():
    reasons = [
        "Rated speed is not known.",
        NotChecked("life", "missing", {"ref": "1", "fields": ("bore_mm",)}),
        NotChecked("speed", "missing", {"ref": "2", "fields": ("limiting_speed_rpm",)}),
        NotChecked("speed", "missing", {"ref": "3", "fields": ("limiting_speed_rpm",)}),
    ]
    (speed,) = unproven_rows(["speed"], reasons)
    assert "2 and 3" in speed["title"]
    assert "Limiting speed" in speed["title"]
    assert "bore" not in speed["title"]
    assert "Rated speed" not in speed["title"]


@pytest.mark.parametrize("reason", ["", "   "])
def test_a_finding_is_accepted_for_a_reason_in_words(reason):
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    with pytest.raises(WorkOrderError, match="Enter why") as refusal:
        approving.accept_finding(
            actor=actor_for(make_user("lead")), record=record, version=1, code=code_of("speed"), ref="",
            reason=reason,
        )  # fmt: skip
    assert refusal.value.field == "reason"
    assert record.accepted_findings.count() == 0


def test_what_hinders_a_check_is_named_with_its_part_or_guide():
    items = triple_items("ddu")
    items[1]["data"]["contact_angle_deg"] = 5
    guide = {
        "uid": "g",
        "rating_id": None,
        "data": {"type": "deep_groove_ball", "bore_mm": -1, "carries": "none"},
    }
    record = make_stack_record(make_job(), Stage.SPECIFIED, items=items, guides=[guide])
    words = " ".join(judge(record, record.job.motor, {}).hindrances)
    assert "Bearing 1, contact angle" in words
    assert "Part g1, bore" in words or "Bearing g1, bore" in words


def test_a_refused_item_says_all_that_is_wrong_with_it():
    error = InvalidItemError({"bore_mm": "Enter a bore below 215 mm.", "type": "Choose a type."})
    assert str(error) == "Enter a bore below 215 mm. Choose a type."
