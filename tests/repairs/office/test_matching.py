"""The pages of the match: the whole question in the address, every reason in words, nothing taken for granted."""

from __future__ import annotations

import re
from datetime import date
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.office import match_question
from repairs.work_orders.models import StackRecord, Stage
from tests.repairs.factories import (
    bearing_item,
    make_job,
    make_motor,
    make_rating,
    make_source,
    make_stack_record,
    make_user,
    triple_items,
)
from tests.repairs.signed_stacks import approved

pytestmark = pytest.mark.django_db

FAST = {
    "contact_angle_deg": 40.0,
    "dynamic_rating_n": 216_000.0,
    "static_rating_n": 208_000.0,
    "limiting_speed_rpm": 3_200.0,
}
ASKED = {
    "bore_mm": "100",
    "outside_diameter_mm": "215",
    "height_mm": "47",
    "tolerance_mm": "0",
    "type": "angular_contact_ball",
    "contact_angle_deg": "40",
    "p1": "d",
    "p2": "d",
    "p3": "u",
    "mounting": "vertical",
    "rated_speed_rpm": "1780",
    "down_thrust_n": "30 kN",
    "rotor_weight_n": "2200",
    "radial_load_n": "0",
    "method": "oil_bath",
    "iso_vg": "68",
    "temperature_c": "70",
    "contamination": "slight_contamination",
    "sort": "margin",
}


@pytest.fixture
def engineer(client):
    user = make_user("engineer", units="si")
    client.force_login(user)
    return client


def rated(designation: str, *, source=None, height: float = 47, **figures: Any):
    kept = {name: value for name, value in {**FAST, **figures}.items() if value is not None}
    return make_rating(source, designation=designation, height_mm=height, figures=kept)


def words(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    text = text.replace("&amp;", "&").replace("&#x27;", "'")
    return re.sub(r"[\s\u00a0\u202f]+", " ", text)


def ask(client, **more: Any):
    typed = {name: value for name, value in {**ASKED, **more}.items() if value is not None}
    return client.get(reverse("office:match"), typed)


def of_record(client, record: StackRecord, **more: Any):
    """Follow the record's own question, and ask it with changes."""
    answer = client.get(reverse("office:match_record", args=[record.job.number, record.pk]))
    typed = {name: values[0] for name, values in parse_qs(urlsplit(answer.url).query).items()}
    return client.get(reverse("office:match"), {**typed, **more})


def address_of_use(page) -> str:
    return re.search(r'<form id="use"[^>]*action="([^"]+)"', page.content.decode())[1].replace("&amp;", "&")


def hidden(page, name: str) -> str:
    return re.search(rf'name="{name}" value="([^"]*)"', page.content.decode())[1]


def use(client, page, rating, **more: Any):
    body = {"form_key": hidden(page, "form_key"), "seen": hidden(page, "seen"), "rating": rating.pk}
    return client.post(address_of_use(page), {**body, **more})


def complete_job(**plate: Any):
    """Return a job whose motor's oil is known as well."""
    motor = make_motor()
    for key, si in {
        "lubrication": "oil_bath",
        "oil_temperature_c": 70.0,
        "cleanliness": "slight_contamination",
        **plate,
    }.items():
        motor.nameplate[key] = {"state": "read", "typed": str(si), "unit": "", "si": si}
    motor.save()
    return make_job(Motor.objects.get(pk=motor.pk))


# Asking


def test_the_page_opens_with_an_empty_question(engineer):
    answer = engineer.get(reverse("office:match"))
    assert answer.status_code == 200
    assert "Find candidates" in words(answer)
    assert "NOT ASKED" not in words(answer)


def test_a_rating_leads_to_a_question_with_its_envelope(engineer):
    rating = rated("7320")
    page = engineer.get(reverse("office:rating", args=[rating.pk])).content.decode()
    address = re.search(r'href="([^"]+)">Match this size', page)[1].replace("&amp;", "&")
    html = engineer.get(address).content.decode()
    for value in (
        'name="bore_mm" value="100"',
        'name="outside_diameter_mm" value="215"',
        'name="height_mm" value="47"',
    ):
        assert value in html
    assert '<option value="angular_contact_ball" selected>' in html


def test_every_rating_of_the_size_is_shown_with_its_verdict_and_each_reason_in_words(engineer):
    rated("FAST")
    rated("SLOW", limiting_speed_rpm=2_100.0)
    rated("HIGH", height=51)
    rated("MUTE", limiting_speed_rpm=None)
    rated("ODD", contact_angle_deg=25.0)
    make_rating(designation="GROOVE", type="deep_groove_ball")
    make_rating(designation="OTHER", bore_mm=90)
    text = words(ask(engineer))
    assert "1 of 6 ratings fit" in text
    assert "OK fits" in text
    assert re.search(r"SLOW .*Speed margin -17.4 % at 1 780 rpm, rated speed \(permissible 1 470 rpm", text)
    assert "The set of 3 is 153 mm high and the space 141 mm: 12 mm too much" in text
    assert re.search(r"MUTE .*NOT CHECKED Permissible speed: bearing 1: not given: limiting speed", text)
    assert "Likewise bearings 2 and 3." in text
    assert "The contact angle is 25°; the pattern has 40°." in text
    assert "It is another type of bearing: deep groove ball bearing" in text
    assert "OTHER" not in text
    assert "4 refused" in text
    assert "ordered as one matched set" in text


def test_older_editions_are_marked_and_the_newer_one_stands_first(engineer):
    old = make_source(title="Tables", edition="2019", published_on=date(2019, 1, 1))
    new = make_source(title="Tables", edition="2024", published_on=date(2024, 1, 1))
    rated("7320", source=old)
    rated("7320", source=new)
    text = words(ask(engineer))
    assert re.search(r"Tables, 2024 .*Tables, 2019 · older edition", text)
    assert "2024 · older edition" not in text


def test_a_question_can_be_ordered_by_life_and_the_address_keeps_it(engineer):
    rated("QUICK", limiting_speed_rpm=3_400.0)
    rated("STRONG", dynamic_rating_n=222_000.0)
    margin = words(ask(engineer))
    assert margin.index("QUICK") < margin.index("STRONG")
    answer = ask(engineer, sort="life")
    text = words(answer)
    assert text.index("STRONG") < text.index("QUICK")
    assert "longest life" in text
    assert "sort=height" in answer.content.decode()


def test_forces_may_be_typed_in_pounds(engineer):
    rated("FAST")
    # 30 000 N / 4.4482216152605 N/lbf = 6 744.2683 lbf
    life = re.compile(r"(\d+ \d+) h")
    same = [life.search(words(ask(engineer, down_thrust_n=typed)))[1] for typed in ("30000", "6744.2683 lbf")]
    assert same[0] == same[1]


def test_without_thrust_nothing_is_said_to_fit_and_what_is_missing_is_said_once(engineer):
    rated("FAST")
    rated("QUICK", limiting_speed_rpm=3_400.0)
    text = words(ask(engineer, down_thrust_n=""))
    assert "0 of 2 ratings fit" in text
    assert "This holds of every candidate" in text
    assert text.count("Life: the running case is not known.") == 1


def test_charts_draw_the_first_ten_of_the_ranking_and_say_so(engineer):
    for number in range(12):
        rated(f"B{number:02d}", limiting_speed_rpm=3_000.0 + number)
    answer = ask(engineer)
    charts = re.findall(r'<svg[^>]*class="chart".*?</svg>', answer.content.decode(), re.DOTALL)
    assert "the first 10 of the ranking, by their numbers" in words(answer)
    assert len(charts) == 2
    assert all("10  B02" in chart and "B01" not in chart for chart in charts)


def test_a_long_ranking_is_paged_and_numbered_through(engineer, monkeypatch):
    monkeypatch.setattr("repairs.office.match_page.PAGE", 2)
    for number in range(3):
        rated(f"B{number}", limiting_speed_rpm=3_000.0 + number)
    text = words(ask(engineer, page="2"))
    assert "3–3 of 3, page 2 of 2" in text
    assert re.search(r"3 B0 ", text)


def test_the_queries_do_not_grow_with_the_candidates(engineer, django_assert_max_num_queries):
    for number in range(2):
        rated(f"A{number}")
    with django_assert_max_num_queries(5) as few:
        ask(engineer)
    for number in range(20):
        rated(f"B{number}", limiting_speed_rpm=3_000.0 + number)
    with django_assert_max_num_queries(5) as many:
        ask(engineer)
    assert len(few) == len(many)


# Wrong questions


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"bore_mm": ""}, "Bore : This is needed. Accepted: 0.001 to 5 000 mm"),
        ({"bore_mm": "wide"}, "“wide” is not a number"),
        ({"bore_mm": "100 mil"}, "in a unit that is not known here"),
        ({"bore_mm": "-100"}, "The number is out of range."),
        ({"bore_mm": "nan"}, "is not a"),
        ({"outside_diameter_mm": "90"}, "not above the bore. Accepted: more than 100 mm."),
        ({"tolerance_mm": "-1"}, "The number is out of range."),
        ({"rated_speed_rpm": "0"}, "The number is out of range."),
        ({"p1": "", "p2": "", "p3": ""}, "No bearing is chosen."),
        ({"contact_angle_deg": "80"}, "outside its table"),
        ({"method": "water"}, "Select a valid choice"),
        ({"sort": "colour"}, "Select a valid choice"),
    ],
)
def test_a_wrong_question_is_refused_beside_its_field_and_nothing_typed_is_lost(engineer, typed, said):
    answer = ask(engineer, **typed)
    assert answer.status_code == 422
    assert said in words(answer)
    assert "NOT ASKED" in words(answer)
    assert 'value="30 kN"' in answer.content.decode()


def test_what_was_typed_cannot_break_the_page(engineer):
    html = ask(engineer, bore_mm='"><script>').content.decode()
    assert "<script>" not in html.replace('<script src="', "")
    assert "&quot;&gt;&lt;script&gt;" in html


def test_a_size_that_is_not_in_the_book_says_what_to_do(engineer):
    text = words(ask(engineer, bore_mm="101"))
    assert "No rating in the book has this size" in text
    assert "leave the outside diameter empty" in text


def test_too_many_ratings_of_a_size_ask_for_more_of_it(engineer, monkeypatch):
    monkeypatch.setattr(match_question, "MOST_TRIED", 1)
    rated("A")
    rated("B")
    answer = ask(engineer, outside_diameter_mm="")
    assert answer.status_code == 422
    assert "Give the outside diameter." in words(answer)


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
    }


def test_a_question_asked_otherwise_than_the_plate_says_so(engineer):
    record = make_stack_record(complete_job())
    rated("FAST")
    assert "Asked otherwise" not in words(of_record(engineer, record))
    text = words(of_record(engineer, record, down_thrust_n="20 kN", rated_speed_rpm="1785"))
    assert "Asked otherwise than the motor's plate has it: rated speed, down thrust." in text


def test_a_reader_of_pounds_gets_pounds_and_the_same_question(client):
    record = make_stack_record(complete_job())
    rated("FAST")
    client.force_login(make_user("engineer", units="us"))
    answer = of_record(client, record)
    # 30 000 N / 4.4482216152605 N/lbf
    assert 'name="down_thrust_n" value="6744.268 lbf"' in answer.content.decode()
    assert "Asked otherwise" not in words(answer)


def test_a_record_whose_face_is_not_known_cannot_be_matched_and_says_which(engineer):
    record = make_stack_record(complete_job(), faces="d?u")
    answer = of_record(engineer, record)
    assert answer.status_code == 422
    assert "does not say how bearing 2 lies" in words(answer)


def test_a_record_without_a_thrust_bearing_says_so(engineer):
    nut = {"uid": "n", "rating_id": None, "data": {"kind": "lock_nut"}}
    answer = of_record(engineer, make_stack_record(complete_job(), items=[nut]), bore_mm="100")
    assert "no bearing that carries thrust" in words(answer)


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
    assert re.search(r"Limiting speed, r/min 3 200 3 400 differs", text)
    assert re.search(r"Bore, mm 100 100 (?!differs)", text)
    assert re.search(r"Permissible speed of the set 2 240 rpm 2 380 rpm differs", text)
    assert re.search(r"Grease|Speed for grease, r/min not given not given", text)
    assert html.count('class="stack-drawing') == 2


def test_four_are_compared_and_a_fifth_is_refused(engineer):
    ratings = [rated(f"B{number}") for number in range(5)]
    assert compare(engineer, *ratings[:4]).status_code == 200
    answer = compare(engineer, *ratings)
    assert answer.status_code == 422
    assert "5 chosen. Accepted: two to four" in words(answer)
    assert compare(engineer, ratings[0]).status_code == 422


def test_keys_that_are_none_and_ratings_that_are_gone_are_left_out(engineer):
    one, other = rated("FAST"), rated("QUICK")
    asked = {**ASKED, "c": [str(one.pk), str(one.pk), "x", "²", "9" * 30, str(other.pk)]}
    answer = engineer.get(reverse("office:match_compare"), asked)
    assert answer.status_code == 200
    assert words(answer).count("Checks that could not be made") == 1


def test_a_comparison_without_a_question_shows_the_question(engineer):
    assert compare(engineer, rated("FAST"), bore_mm="").status_code == 422


def test_another_type_is_compared_without_a_stack(engineer):
    groove = make_rating(designation="GROOVE", type="deep_groove_ball")
    text = words(compare(engineer, rated("FAST"), groove))
    assert "Not drawn: another type of bearing." in text


# Into the specified stack


def test_a_candidate_goes_into_the_specified_stack_and_leads_to_the_recorder(engineer):
    record, rating = make_stack_record(complete_job()), rated("FAST")
    page = of_record(engineer, record)
    assert "what is specified now is a proposal" in words(page)
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
    assert "meanwhile" in words(answer)
    assert hidden(answer, "seen") == f"{draft.pk}.2"


def test_a_new_revision_asks_for_a_reason_and_keeps_what_was_typed(engineer):
    record, rating = make_stack_record(complete_job()), rated("FAST")
    approved(record.job)
    page = of_record(engineer, record)
    assert "Revision 1 of the specified stack is approved" in words(page)
    answer = use(engineer, page, rating, reason=" ")
    assert answer.status_code == 422
    assert "Say why a new revision is made." in words(answer)
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
