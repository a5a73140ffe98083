"""A stack with a face that nobody entered: judged, not proven, and neither signed nor accepted."""

from __future__ import annotations

import pytest

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.headlines import headline_of
from repairs.work_orders.judging import judge
from repairs.work_orders.models import Stage
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.unproven import code_of, severities, unproven_of
from tests.repairs.factories import actor_for, make_job, make_motor, make_stack_record, make_user
from tests.repairs.signed_stacks import with_photo

pytestmark = pytest.mark.django_db


def test_a_face_not_known_can_be_recorded_is_judged_not_proven_and_cannot_be_signed():
    record = with_photo(make_stack_record(faces="d?u"))
    judgement = judge(record, record.job.motor, {})
    headline = headline_of(judgement, "us")
    assert headline is not None
    assert headline.verdict == "not_proven"
    assert "Thrust directions" in headline.words
    assert (headline.asks[0].field, headline.asks[0].refs) == ("wide_face", ("2",))
    assert judgement.unknown_faces == ("2",)
    with pytest.raises(WorkOrderError, match="face of bearing 2 is not known"):
        signing.sign_record(actor=actor_for(make_user()), record=record, version=record.version)


def test_without_the_speed_the_headline_asks_for_it_and_still_stops_where_nothing_carries_the_rotor():
    motor = make_motor(nameplate={})
    headline = headline_of(judge(make_stack_record(make_job(motor), faces="d?u"), motor, {}), "us")
    assert headline is not None
    assert headline.verdict == "not_proven"
    assert [one.field for one in headline.asks] == ["motor.rated_speed_rpm", "wide_face"]
    assert "Full-load RPM: not known." in headline.words
    headline = headline_of(
        judge(make_stack_record(make_job(make_motor(nameplate={})), faces="uuu"), motor, {}), "us"
    )
    assert headline is not None
    assert headline.verdict == "stop"


def test_an_empty_list_has_no_headline():
    record = make_stack_record(make_job(make_motor(nameplate={})), items=[])
    assert headline_of(judge(record, record.job.motor, {}), "us") is None


def test_nothing_is_accepted_of_a_stack_with_a_face_that_nobody_entered():
    record = make_stack_record(stage=Stage.SPECIFIED, faces="d?u")
    judgement = judge(record, record.job.motor, {})
    assert unproven_of(judgement)
    assert severities(judgement) == {}
    lead = actor_for(make_user("lead"))
    for subject in unproven_of(judgement):
        with pytest.raises(WorkOrderError):
            approving.accept_finding(
                actor=lead,
                record=record,
                version=record.version,
                code=code_of(subject),
                ref="",
                reason="it will do",
            )
    with pytest.raises(WorkOrderError, match="face of bearing 2 is not known"):
        approving.approve_specified(actor=lead, record=record, version=record.version)
