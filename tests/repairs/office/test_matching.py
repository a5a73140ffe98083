"""The pages of the match: the whole question in the address, every reason in words, nothing taken for granted."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.urls import reverse

from repairs.office import match_question
from tests.repairs.factories import make_rating, make_source, make_user
from tests.repairs.questions import ask, rated, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def engineer(client):
    user = make_user("engineer", units="si")
    client.force_login(user)
    return client


# Asking


def test_the_page_opens_with_an_empty_question(engineer):
    answer = engineer.get(reverse("office:match"))
    assert answer.status_code == 200
    assert "Find candidates" in words(answer)
    assert "NOT SEARCHED" not in words(answer)


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
    rated("FAST", variant="none")
    rated("SLOW", limiting_speed_rpm=2_100.0)
    rated("HIGH", height=51)
    rated("MUTE", limiting_speed_rpm=None)
    rated("ODD", contact_angle_deg=25.0)
    make_rating(designation="GROOVE", type="deep_groove_ball")
    make_rating(designation="OTHER", bore_mm=90)
    text = words(ask(engineer))
    # The question leaves open how warm the shaft runs and how long the thrusts last: nothing is proven to fit.
    assert "0 of 6 ratings fit" in text
    assert re.search(r"FAST .*Enter for motor and oil: .*shaft warmer than housing", text)
    assert re.search(r"SLOW .*good for 1,470 rpm in this set; the motor turns 1,780 rpm", text)
    assert "The set of 3 is 153 mm high; the space is 141 mm. That is 12 mm too high" in text
    assert re.search(r"FAST .*MUTE .*NOT PROVEN Look up or measure for the bearing: .*limiting speed", text)
    assert "Contact angle is 25°; the pattern has 40°." in text
    assert "Different bearing type: deep groove ball bearing" in text
    assert "OTHER" not in text
    assert "4 refused" in text
    assert "bearings as one matched set" in text


def test_older_editions_are_marked_and_the_newer_one_stands_first(engineer):
    old = make_source(title="Tables", edition="2019", published_on=date(2019, 1, 1))
    new = make_source(title="Tables", edition="2024", published_on=date(2024, 1, 1))
    rated("7320", source=old)
    rated("7320", source=new)
    text = words(ask(engineer))
    assert re.search(r"Tables, 2024 .*1 older edition .*Tables, 2019 :", text)
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
    # 30,000 N / 4.4482216152605 N/lbf = 6 744.2683 lbf
    life = re.compile(r"(\d+,\d+) h")
    same = [life.search(words(ask(engineer, down_thrust_n=typed)))[1] for typed in ("30000", "6744.2683 lbf")]
    assert same[0] == same[1]


def test_without_thrust_nothing_is_said_to_fit_and_what_is_missing_is_said_once(engineer):
    rated("FAST")
    rated("QUICK", limiting_speed_rpm=3_400.0)
    text = words(ask(engineer, down_thrust_n=""))
    assert "0 of 2 ratings fit" in text
    assert "Applies to every candidate" in text
    assert text.count("Life: downthrust not entered.") == 1


def test_charts_draw_the_first_ten_of_the_ranking_and_say_so(engineer):
    for number in range(12):
        rated(f"B{number:02d}", limiting_speed_rpm=3_000.0 + number)
    answer = ask(engineer)
    charts = re.findall(r'<svg[^>]*class="chart".*?</svg>', answer.content.decode(), re.DOTALL)
    assert "first 10 candidates" in words(answer)
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
        ({"bore_mm": ""}, "Bore : Required. Accepted: 0.001 to 5,000 mm"),
        ({"bore_mm": "wide"}, "“wide” is not a number"),
        ({"bore_mm": "100 mil"}, "has an unknown unit"),
        ({"bore_mm": "-100"}, "Number is out of range."),
        ({"bore_mm": "nan"}, "is not a"),
        ({"outside_diameter_mm": "90"}, "above the bore. Accepted: more than 100 mm."),
        ({"tolerance_mm": "-1"}, "Number is out of range."),
        ({"rated_speed_rpm": "0"}, "Number is out of range."),
        ({"p1": "", "p2": "", "p3": ""}, "Choose at least one bearing"),
        ({"contact_angle_deg": "80"}, "out of range"),
        ({"method": "water"}, "Select a valid choice"),
        ({"sort": "colour"}, "Select a valid choice"),
    ],
)
def test_a_wrong_question_is_refused_beside_its_field_and_nothing_typed_is_lost(engineer, typed, said):
    answer = ask(engineer, **typed)
    assert answer.status_code == 422
    assert said in words(answer)
    assert "NOT SEARCHED" in words(answer)
    assert 'value="30 kN"' in answer.content.decode()


def test_what_was_typed_cannot_break_the_page(engineer):
    html = ask(engineer, bore_mm='"><script>').content.decode()
    assert "<script>" not in html.replace('<script src="', "")
    assert "&quot;&gt;&lt;script&gt;" in html


def test_a_size_that_is_not_in_the_book_says_what_to_do(engineer):
    text = words(ask(engineer, bore_mm="101"))
    assert "No bearing in the book has this size" in text
    assert "clear the outside diameter" in text


def test_too_many_ratings_of_a_size_ask_for_more_of_it(engineer, monkeypatch):
    monkeypatch.setattr(match_question, "MOST_TRIED", 1)
    rated("A")
    rated("B")
    answer = ask(engineer, outside_diameter_mm="")
    assert answer.status_code == 422
    assert "Enter the outside diameter." in words(answer)
