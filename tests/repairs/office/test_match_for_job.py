"""A match for a job: the record's own question, candidates side by side, one of them into the specified stack."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.work_orders.models import StackRecord, Stage
from tests.repairs.factories import (
    bearing_item,
    make_rating,
    make_stack_record,
    make_user,
    triple_items,
)
from tests.repairs.questions import ASKED, ask, complete_job, of_record, rated, words
from tests.repairs.signed_stacks import approved

pytestmark = pytest.mark.django_db


@pytest.fixture
def engineer(client):
    user = make_user("engineer", units="si")
    client.force_login(user)
    return client


def address_of_use(page) -> str:
    return re.search(r'<form id="use"[^>]*action="([^"]+)"', page.content.decode())[1].replace("&amp;", "&")


def hidden(page, name: str) -> str:
    return re.search(rf'name="{name}" value="([^"]*)"', page.content.decode())[1]


def use(client, page, rating, **more: Any):
    body = {"form_key": hidden(page, "form_key"), "seen": hidden(page, "seen"), "rating": rating.pk}
    return client.post(address_of_use(page), {**body, **more})


# From a job


def test_a_record_puts_its_own_question_in_the_address(engineer):
    record = make_stack_record(complete_job())
    answer = engineer.get(reverse("office:match_record", args=[record.job.number, record.pk]))
    asked = {name: values[0] for name, values in parse_qs(urlsplit(answer.url).query).items()}
    assert asked == {
        "record": str(record.pk),
        "bore_mm": "100",
        "outside_diameter_mm": "215",
        "height_mm": "47",
        "tolerance_mm": "0",
        "mounting": "vertical",
        "rated_speed_rpm": "1780",
        "synchronous_speed_rpm": "1800",
        "down_thrust_n": "30000",
        "up_thrust_n": "9000",
        "rotor_weight_n": "2200",
        "radial_load_n": "800",
        "method": "oil_bath",
        "iso_vg": "68",
        "temperature_c": "70",
        "contamination": "slight_contamination",
        "sort": "margin",
        "units": "si",
    }


def test_a_question_asked_otherwise_than_the_plate_says_so(engineer):
    record = make_stack_record(complete_job())
    rated("FAST")
    assert "Asked otherwise" not in words(of_record(engineer, record))
    text = words(of_record(engineer, record, down_thrust_n="20 kN", rated_speed_rpm="1785"))
    assert "These differ from the nameplate: full-load RPM, downthrust." in text


def test_a_reader_of_pounds_gets_pounds_and_the_same_question(client):
    record = make_stack_record(complete_job())
    rated("FAST")
    client.force_login(make_user("engineer", units="us"))
    answer = of_record(client, record)
    # 30,000 N / 4.4482216152605 N/lbf
    assert 'name="down_thrust_n" value="6744.268"' in answer.content.decode()
    assert "Asked otherwise" not in words(answer)


def test_a_record_whose_face_is_not_known_cannot_be_matched_and_says_which(engineer):
    record = make_stack_record(complete_job(), faces="d?u")
    answer = of_record(engineer, record)
    assert answer.status_code == 422
    assert "Face of bearing 2 not recorded" in words(answer)


def test_a_record_without_a_thrust_bearing_says_so(engineer):
    nut = {"uid": "n", "rating_id": None, "data": {"kind": "lock_nut"}}
    answer = of_record(engineer, make_stack_record(complete_job(), items=[nut]), bore_mm="100")
    assert "No thrust bearing in the record" in words(answer)


def test_bearings_of_one_set_that_differ_in_size_leave_the_size_to_be_asked(engineer):
    items = [bearing_item("b1", "down", "1"), bearing_item("b2", "down", "2", height_mm=50)]
    record = make_stack_record(complete_job(), items=items)
    answer = engineer.get(reverse("office:match_record", args=[record.job.number, record.pk]))
    assert "height_mm" not in answer.url
    assert "bore_mm=100" in answer.url


@pytest.mark.parametrize("key", ["x", "0", "99999999999999999999", "²"])
def test_a_record_that_is_not_there_is_not_found(engineer, key):
    assert ask(engineer, record=key).status_code == 404


def test_the_specified_stack_is_kept_from_whoever_records_as_built(client):
    job, recorder = complete_job(), make_user("engineer")
    specified = make_stack_record(job, Stage.SPECIFIED)
    make_stack_record(job, Stage.AS_BUILT, started_by=recorder)
    client.force_login(recorder)
    assert client.get(reverse("office:match_record", args=[job.number, specified.pk])).status_code == 403
    assert ask(client, record=str(specified.pk)).status_code == 403


@pytest.mark.parametrize("stage", [Stage.AS_FOUND, Stage.SPECIFIED])
def test_job_and_assessment_lead_to_the_match_of_their_stack(engineer, stage):
    record = make_stack_record(complete_job(), stage)
    address = reverse("office:match_record", args=[record.job.number, record.pk])
    assert address in engineer.get(reverse("office:job", args=[record.job.number])).content.decode()
    page = engineer.get(reverse("office:assessment", args=[record.job.number, record.pk]))
    assert address in page.content.decode()


# Side by side


def compare(client, *ratings, **more: Any):
    return client.get(reverse("office:match_compare"), {**ASKED, **more, "c": [one.pk for one in ratings]})


def test_two_candidates_stand_side_by_side_with_their_differences_by_a_word(engineer):
    one, other = rated("FAST"), rated("QUICK", limiting_speed_rpm=3_400.0)
    answer = compare(engineer, one, other)
    text, html = words(answer), answer.content.decode()
    assert re.search(r"Limiting speed, rpm 3,200 3,400 differs", text)
    assert re.search(r"Bore, mm 100 100 (?!differs)", text)
    assert re.search(r"Set allowable speed 2,240 rpm 2,380 rpm differs", text)
    assert re.search(r"Grease speed, rpm not in the book not in the book", text)
    assert html.count('class="stack-drawing') == 2


def test_four_are_compared_and_a_fifth_is_refused(engineer):
    ratings = [rated(f"B{number}") for number in range(5)]
    assert compare(engineer, *ratings[:4]).status_code == 200
    answer = compare(engineer, *ratings)
    assert answer.status_code == 422
    assert "5 selected. Select two to four" in words(answer)
    assert compare(engineer, ratings[0]).status_code == 422


def test_keys_that_are_none_and_ratings_that_are_gone_are_left_out(engineer):
    one, other = rated("FAST"), rated("QUICK")
    asked = {**ASKED, "c": [str(one.pk), str(one.pk), "x", "²", "9" * 30, str(other.pk)]}
    answer = engineer.get(reverse("office:match_compare"), asked)
    assert answer.status_code == 200
    assert words(answer).count("Not checked") == 1


def test_a_comparison_without_a_question_shows_the_question(engineer):
    assert compare(engineer, rated("FAST"), bore_mm="").status_code == 422


def test_another_type_is_compared_without_a_stack(engineer):
    groove = make_rating(designation="GROOVE", type="deep_groove_ball")
    text = words(compare(engineer, rated("FAST"), groove))
    assert "Not drawn: different bearing type." in text


# Into the specified stack


def test_a_candidate_goes_into_the_specified_stack_and_leads_to_the_recorder(engineer):
    record, rating = make_stack_record(complete_job()), rated("FAST")
    page = of_record(engineer, record)
    assert "the stack you specify now is a proposal" in words(page)
    answer = use(engineer, page, rating)
    assert answer.url == reverse("bench:stack", args=[record.job.number, "specified"])
    made = StackRecord.objects.get(job=record.job, stage=Stage.SPECIFIED)
    assert [entry["data"].get("designation") for entry in made.items] == [None, "FAST", "FAST", "FAST", None]
    assert "Order its 3 bearings as one matched set" in words(engineer.get(answer.url))
    use(engineer, page, rating)
    assert Event.objects.filter(verb="stack.candidate_used").count() == 1


def test_an_open_specified_stack_that_changed_meanwhile_is_kept(engineer):
    record, rating = make_stack_record(complete_job()), rated("FAST")
    draft = make_stack_record(record.job, Stage.SPECIFIED)
    page = of_record(engineer, record)
    StackRecord.objects.filter(pk=draft.pk).update(version=2)
    answer = use(engineer, page, rating)
    assert answer.status_code == 409
    assert "Someone else changed" in words(answer)
    assert hidden(answer, "seen") == f"{draft.pk}.2"


def test_a_new_revision_asks_for_a_reason_and_keeps_what_was_typed(engineer):
    record, rating = make_stack_record(complete_job()), rated("FAST")
    approved(record.job)
    page = of_record(engineer, record)
    assert "Revision 1 of the specified stack is approved" in words(page)
    answer = use(engineer, page, rating, reason=" ")
    assert answer.status_code == 422
    assert "Enter the reason for a new revision." in words(answer)
    assert use(engineer, answer, rating, reason="faster").status_code == 302


@pytest.mark.parametrize("role", ["office", "technician"])
def test_only_those_who_specify_stacks_are_offered_to_use_a_candidate(client, role):
    record, rating = make_stack_record(complete_job()), rated("FAST")
    client.force_login(make_user(role))
    page = of_record(client, record)
    assert page.status_code == 200
    assert 'id="use"' not in page.content.decode()
    assert client.post(reverse("office:match_use"), {"rating": rating.pk}).status_code == 403


def test_a_match_without_a_job_offers_no_use(engineer):
    rating = rated("FAST")
    assert 'id="use"' not in ask(engineer).content.decode()
    assert engineer.post(reverse("office:match_use"), {"rating": rating.pk}).status_code == 403


def test_a_rating_that_is_not_there_is_not_found(engineer):
    record = make_stack_record(complete_job(), items=triple_items())
    rated("FAST")
    page = of_record(engineer, record)
    body = {"form_key": "k", "seen": "none", "rating": "x"}
    assert engineer.post(address_of_use(page), body).status_code == 404
