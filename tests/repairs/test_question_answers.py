"""What the checker asks is answered by one tap, for all that lack it, and never over what somebody entered."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import judge, shop_limits
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.questions import OF_BEARINGS, OF_PLATE
from repairs.work_orders.services.question_answers import answer_question
from repairs.work_orders.services.stack_changes import undo_change
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, triple_items

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def sparse(job: Job | None = None) -> StackRecord:
    items = triple_items()
    for entry in items:
        entry["data"].pop("pairing", None)
    return make_stack_record(job or make_job(), Stage.SPECIFIED, items=items)


def tap(
    record: StackRecord, field: str, value: str, *, role: str = "lead", version: int | None = None
) -> StackRecord:
    seen = record.version if version is None else version
    return answer_question(
        actor=actor_for(make_user(role)), record=record, version=seen, field=field, value=value, form_key="k1"
    )


def test_one_tap_answers_for_every_bearing_that_lacks_it_and_keeps_what_was_entered():
    record = sparse()
    record.items[1]["data"]["pairing"] = "matched"
    record.save()
    now = tap(record, "pairing", "universal")
    assert [e["data"].get("pairing") for e in now.items] == [None, "matched", "universal", "universal", None]
    assert now.version == 2
    with pytest.raises(WorkOrderError, match="Every bearing already has this"):
        answer_question(
            actor=actor_for(make_user("lead")),
            record=now,
            version=now.version,
            field="pairing",
            value="single",
        )


def test_a_tap_can_be_undone_and_arrives_once():
    record = sparse()
    lead = actor_for(make_user("lead"))
    for _time in range(2):
        now = answer_question(
            actor=lead,
            record=record,
            version=record.version,
            field="cage_material",
            value="brass",
            form_key="k1",
        )
    assert Event.objects.filter(verb="stack.answered").count() == 1
    back = undo_change(actor=lead, record=now, version=now.version)
    assert not any("cage_material" in entry["data"] for entry in back.items)


def test_a_tap_on_the_plate_tells_the_checker_at_once():
    record = sparse()
    assert judge(record, record.job.motor, shop_limits()).stack.motor.fixed_speed is None
    now = tap(record, "motor.fixed_speed", "yes", role="technician")
    assert judge(now, now.job.motor, shop_limits()).stack.motor.fixed_speed is True
    entry = now.job.motor.nameplate["fixed_speed"]
    assert (entry["state"], entry["si"]) == ("read", "yes")
    again = tap(now, "motor.fixed_speed", "no", role="technician")
    assert again.job.motor.nameplate["fixed_speed"]["si"] == "yes"


def test_what_is_not_offered_is_refused():
    record = sparse()
    for field, value in (("pairing", "twice"), ("serial", "S-1"), ("motor.rated_speed_rpm", "900"), ("", "")):
        with pytest.raises(WorkOrderError, match="Choose one of the answers shown"):
            tap(record, field, value)
    with pytest.raises(StaleVersionError):
        tap(record, "motor.fixed_speed", "yes", version=record.version + 1)
    assert Event.objects.filter(verb__in=["stack.answered", "motor.changed"]).count() == 0


def test_every_offered_answer_is_accepted_where_it_is_entered():
    for field, (_key, choices) in OF_PLATE.items():
        for value, _words in choices:
            record = sparse()
            tap(record, field, value)
            record.job.motor.refresh_from_db()
            assert record.job.motor.si(OF_PLATE[field][0]) is not None, (field, value)
            assert judge(record, record.job.motor, shop_limits()).assessment is not None
    for field, offered in OF_BEARINGS.items():
        for value, _words in offered:
            now = tap(sparse(), field, value)
            assert judge(now, now.job.motor, shop_limits()).assessment is not None, (field, value)


def test_the_recorder_offers_the_questions_and_takes_the_tap():
    record = sparse()
    client = Client()
    client.force_login(make_user("lead"))
    address = reverse("bench:stack", args=[record.job.number, record.stage])
    page = client.get(address).content.decode()
    assert "NOT PROVEN" in page
    assert page.count('class="question"') <= 3
    offered = next(field for field in (*OF_PLATE, *OF_BEARINGS) if f'value="answer:{field}:' in page)
    value = dict(OF_PLATE[offered][1] if offered in OF_PLATE else OF_BEARINGS[offered])
    answer = client.post(
        f"{address}act/",
        {"do": f"answer:{offered}:{next(iter(value))}", "version": record.version, "form_key": "t1"},
        headers={"HX-Request": "true"},
    )
    assert answer.status_code == 200
    assert f'value="answer:{offered}:' not in answer.content.decode()
