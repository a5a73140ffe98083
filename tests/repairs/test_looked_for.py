"""A stack as found is signed only when what anyone will miss later was found or looked for."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.looked_for import ANSWERS, ASKED, lacking_answers, open_questions
from repairs.work_orders.models import Stage
from repairs.work_orders.services import stack_answering as answering
from repairs.work_orders.services import stack_changes as changes
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.pictures import add_photos, withdraw_photo
from tests.repairs.factories import actor_for, key_photo, make_stack_record, make_user, picture_file

pytestmark = pytest.mark.django_db


def part(kind: str, **data):
    return {"uid": kind[:8], "rating_id": None, "data": {"kind": kind, "ring": "inner", **data}}


def test_every_question_has_its_answer_in_words():
    assert list(ANSWERS) == list(ASKED)


def test_what_is_neither_listed_nor_said_to_be_absent_is_asked():
    record = make_stack_record(absent=[])
    record.items = [*record.items, part("snap_ring"), part("shim")]
    assert open_questions(record) == [
        "spring_pack"
    ]  # the triple of the tests lies under a lock nut, with marks
    assert "Springs" in lacking_answers(record)[0]


def test_springs_under_a_bearing_answer_for_themselves_and_a_bearing_without_marks_is_named():
    record = make_stack_record(absent=[])
    first = next(entry for entry in record.items if entry["data"]["kind"] == "bearing")
    first["data"] = {**first["data"], "spring_force_n": 900.0, "mark": ""}
    assert "spring_pack" not in open_questions(record)
    assert any("Bearing 1: enter the serial or mark" in text for text in lacking_answers(record))


def test_other_stages_are_not_asked():
    assert open_questions(make_stack_record(stage=Stage.AS_BUILT, absent=[])) == []


def test_absent_is_said_taken_back_and_undone():
    record = make_stack_record(absent=[])
    actor = actor_for(record.started_by)
    record = answering.say_absent(actor=actor, record=record, version=1, asked="spacer", absent=True)
    assert record.absent == ["spacer"]
    record = answering.say_absent(actor=actor, record=record, version=2, asked="snap_ring", absent=True)
    assert record.absent == ["snap_ring", "spacer"]
    record = answering.say_absent(actor=actor, record=record, version=3, asked="spacer", absent=False)
    assert record.absent == ["snap_ring"]
    record = changes.undo_change(actor=actor, record=record, version=4)
    assert record.absent == ["snap_ring", "spacer"]
    with pytest.raises(WorkOrderError, match="does not ask"):
        answering.say_absent(actor=actor, record=record, version=5, asked="fan", absent=True)


def test_each_bearing_is_keyed_on_a_photo_that_still_stands():
    record = make_stack_record(top_identified=True)
    actor = actor_for(record.started_by)
    (place,) = add_photos(actor=actor, job=record.job, files=[picture_file()], stack_record=record)
    with pytest.raises(WorkOrderError, match=r"1, 2, 3 is not marked on a photo"):
        signing.sign_record(actor=actor, record=record, version=1)
    key_photo(place, record)
    assert signing.missing_before_signing(record) == []
    (other,) = add_photos(
        actor=actor, job=record.job, files=[picture_file(size=(80, 60))], stack_record=record
    )
    withdraw_photo(actor=actor, job_photo=place, reason="blurred")
    assert "not marked on a photo" in signing.missing_before_signing(record)[0]
    key_photo(other, record)
    assert signing.sign_record(actor=actor, record=record, version=1).is_frozen


def test_the_recorder_offers_to_say_what_is_not_there(client):
    user = make_user()
    client.force_login(user)
    record = make_stack_record(absent=[], started_by=user)
    url = reverse("bench:stack", args=[record.job.number, record.stage])
    page = client.get(url).content.decode()
    assert 'value="absent:snap_ring"' in page
    assert 'value="absent:lock_nut"' not in page
    client.post(f"{url}act/", {"do": "absent:snap_ring", "version": 1, "form_key": "k"})
    page = client.get(url).content.decode()
    assert 'value="present:snap_ring"' in page
    record.refresh_from_db()
    assert record.absent == ["snap_ring"]
