"""The pages of the bearing book: who may, what is said, what is refused, what it costs in queries."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from bearings.models import Rating, Source
from repairs.ledger.models import Event
from tests.repairs.factories import make_rating, make_source, make_user

pytestmark = pytest.mark.django_db

TYPED = {
    "designation": "7320 X",
    "type": "angular_contact_ball",
    "bore_mm": "100",
    "outside_diameter_mm": "215",
    "height_mm": "47",
    "contact_angle_deg": "40",
    "dynamic_rating_n": "216 kN",
    "limiting_speed_rpm": "2 700",
    "grease_speed_rpm_not_printed": "on",
}


@pytest.fixture
def engineer(client):
    user = make_user("engineer", units="si")
    client.force_login(user)
    return client


def address(name: str, *args) -> str:
    return reverse(f"office:{name}", args=args)


def words(answer) -> str:
    """Return what a reader sees, without the tags."""
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return re.sub(r"\s+", " ", text.replace("\u202f", " ").replace("&amp;", "&"))


def key_of(answer) -> str:
    return re.search(r'name="form_key" value="([^"]+)"', answer.content.decode())[1]


def enter(client, source: Source, **typed):
    form = client.get(address("rating_new", source.pk))
    body = {key: value for key, value in {**TYPED, **typed}.items() if value is not None}
    return client.post(address("rating_new", source.pk), {"form_key": key_of(form), **body})


# Who may


@pytest.mark.parametrize("role", ["office", "technician"])
def test_everybody_reads_the_book_and_is_not_offered_to_change_it(client, role):
    rating = make_rating()
    client.force_login(make_user(role))
    for name, args in (("book", []), ("source", [rating.source_id]), ("rating", [rating.pk])):
        html = client.get(address(name, *args)).content.decode()
        assert "/edit/" not in html
        assert "/new/" not in html


@pytest.mark.parametrize("role", ["office", "technician"])
@pytest.mark.parametrize("name", ["source_new", "source_edit", "rating_new", "rating_edit"])
def test_only_those_who_keep_the_book_change_it(client, role, name):
    rating = make_rating()
    client.force_login(make_user(role))
    args = {"source_new": [], "rating_edit": [rating.pk]}.get(name, [rating.source_id])
    assert client.get(address(name, *args)).status_code == 403
    assert client.post(address(name, *args), TYPED).status_code == 403


# Reading


def test_the_book_names_its_sources_with_how_many_ratings_each_has(engineer):
    source = make_source(edition="2019")
    make_rating(source)
    make_rating(source)
    make_source(edition="2024")
    text = words(engineer.get(address("book")))
    assert re.search(r"Maker A \(invented\) Bearing tables 2019 – 2 ", text)
    assert re.search(r"Maker A \(invented\) Bearing tables 2024 – 0 ", text)


def test_while_one_types_only_the_found_ratings_come_back(engineer):
    make_rating(designation="7320 X", variant="clearance C3")
    make_rating(designation="29412")
    answer = engineer.get(address("book"), {"q": "73 20"}, headers={"hx-request": "true"})
    html = answer.content.decode()
    assert "<html" not in html
    assert html.count("7320 X") == 1
    assert "clearance C3" in html
    assert "29412" not in html


def test_the_same_search_works_without_javascript(engineer):
    make_rating(designation="7320 X")
    text = words(engineer.get(address("book"), {"q": "7320"}))
    assert "1 rating starts with “7320”." in text


def test_nothing_found_is_said_with_what_was_typed_and_cannot_break_the_page(engineer):
    html = engineer.get(address("book"), {"q": "<b>x"}).content.decode()
    assert "No designation starts with “&lt;b&gt;x”." in html


def test_a_rating_tells_printed_not_printed_and_not_entered_apart(engineer):
    rating = make_rating(not_printed=["grease_speed_rpm"], speed_meaning="single bearing, oil bath")
    text = words(engineer.get(address("rating", rating.pk)))
    assert "Limiting speed 2,700\u00a0rpm".replace("\u00a0", " ") in text
    assert "Grease speed not printed" in text
    assert "Oil speed not entered" in text
    assert "single bearing, oil bath" in text


def test_a_rating_is_drawn_in_words_too_and_names_its_other_editions(engineer):
    rating = make_rating(designation="7320 X")
    later = make_rating(designation="7320-X", figures={"limiting_speed_rpm": 3400})
    answer = engineer.get(address("rating", rating.pk))
    assert "<svg" in answer.content.decode()
    assert "in other sources" in words(answer)
    assert "3,400" in words(answer)
    assert address("rating", later.pk) in answer.content.decode()


@pytest.mark.parametrize("kind", ["deep_groove_ball", "spherical_roller_thrust", "cylindrical_roller"])
def test_a_rating_with_nothing_but_a_name_still_has_its_page(engineer, kind):
    sizes = {"bore_mm": None, "outside_diameter_mm": None, "height_mm": None}
    rating = make_rating(type=kind, figures={}, **sizes)
    assert words(engineer.get(address("rating", rating.pk))).count("not entered") >= 20


def test_a_reader_of_us_units_sees_pounds_and_inches_beside_the_printed_figure(client):
    client.force_login(make_user("lead", units="us"))
    text = words(client.get(address("rating", make_rating().pk)))
    # 100 / 25.4 in; 216 000 / 4.4482216152605 lbf (exact by definition of inch and pound-force)
    assert "3.9370\u00a0in".replace("\u00a0", " ") in text
    assert "48,559 lbf" in text


# Writing


def test_a_source_is_entered_once_however_often_its_form_arrives_and_the_ledger_knows(engineer):
    form = engineer.get(address("source_new"))
    typed = {"form_key": key_of(form), "maker": "Maker B (invented)", "title": "Tables", "edition": "3rd"}
    first, second = (engineer.post(address("source_new"), typed) for _ in range(2))
    source = Source.objects.get()
    assert first.url == second.url == address("source", source.pk)
    event = Event.objects.get(verb="source.added")
    assert event.after["edition"] == "3rd"


def test_a_rating_is_entered_with_units_typed_behind_its_figures(engineer):
    source = make_source()
    answer = enter(engineer, source, outside_diameter_mm="8.5 in", static_rating_n="40000 lbf")
    rating = Rating.objects.get()
    assert answer.url == address("rating", rating.pk)
    assert rating.figures["dynamic_rating_n"] == 216_000
    assert rating.figures["limiting_speed_rpm"] == 2_700
    assert rating.outside_diameter_mm == pytest.approx(215.9, abs=1e-9)
    assert rating.figures["static_rating_n"] == pytest.approx(177_928.86461042, abs=1e-6)
    assert rating.not_printed == ["grease_speed_rpm"]
    assert Event.objects.get(verb="rating.added").after["figures"]["bore_mm"] == 100


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        (
            "outside_diameter_mm",
            "90",
            "Enter an outside diameter above the bore. Accepted: more than 100 mm.",
        ),
        ("dynamic_rating_n", "0", "Accepted: a number from 0.001 to 1,000,000,000 N."),
        ("static_rating_n", "1e308", "Number is out of range."),
        ("static_rating_n", "1e400", "Enter a finite number."),
        ("limiting_speed_rpm", "quick", "“quick” is not a number. Enter a number such as 1785"),
        ("limiting_speed_rpm", "0,700", "“0,700” can be read two ways. Enter 0.700 or 700."),
        ("limiting_speed_rpm", "nan", "“nan” is not a number."),
        ("height_mm", "2 furlong", "“2 furlong” has an unknown unit. Use mm, in."),
        ("bore_mm", "-100", "Accepted: a number from 0.001 to 5,000 mm."),
        ("contact_angle_deg", "60", "Accepted: 15 to 45 degrees."),
        ("ball_count", "12.5", "Enter a whole number."),
        ("designation", " ", "Fill in this field"),
        ("designation", "//", "Designation needs a letter or a digit."),
        ("type", "square", "Select a valid choice."),
        ("grease_speed_rpm", "2000", "Enter a figure or tick “not printed”, not both."),
    ],
)
def test_a_wrong_figure_is_refused_beside_its_field_and_nothing_typed_is_lost(engineer, name, typed, said):
    answer = enter(engineer, make_source(), cage="brass", **{name: typed})
    assert answer.status_code == 422
    html = answer.content.decode()
    errors = re.search(rf'id="id_{name}_error">(.*?)</div>', html, re.DOTALL)[1]
    assert said in re.sub(r"\s+", " ", errors.replace("\u00a0", " ").replace("\u202f", " "))
    assert 'value="brass"' in html
    assert 'value="216 kN"' in html or name == "dynamic_rating_n"
    if name != "type":
        assert f'value="{typed}"' in html
    assert not Rating.objects.exists()


def test_a_form_key_that_comes_back_with_other_contents_is_refused(engineer):
    source = make_source()
    key = key_of(engineer.get(address("rating_new", source.pk)))
    engineer.post(address("rating_new", source.pk), {"form_key": key, **TYPED})
    answer = engineer.post(
        address("rating_new", source.pk), {"form_key": key, **TYPED, "designation": "7320 C"}
    )
    assert answer.status_code == 422
    assert "already saved with other entries" in words(answer)


def test_a_form_without_its_key_is_refused_in_words(engineer):
    answer = engineer.post(address("rating_new", make_source().pk), TYPED)
    assert answer.status_code == 422
    assert "page is out of date" in words(answer)


def test_a_corrected_rating_keeps_every_digit_and_tells_only_what_differs(engineer):
    rating = make_rating(designation="7320", figures={"ball_diameter_mm": 34.925, "static_rating_n": 208_000})
    page = address("rating_edit", rating.pk)
    html = engineer.get(page).content.decode()
    typed = dict(re.findall(r'<input type="(?:text|hidden)" name="(\w+)" value="([^"]*)"', html))
    assert typed["ball_diameter_mm"] == "34.925"
    body = {**typed, "type": rating.type, "static_rating_n": "210000"}
    assert engineer.post(page, body).status_code == 302
    event = Event.objects.get(verb="rating.changed")
    assert set(event.after) == {"figures"}
    rating.refresh_from_db()
    assert rating.figures == {"ball_diameter_mm": 34.925, "static_rating_n": 210_000}


def test_a_stale_correction_shows_both_and_is_kept_until_it_is_sent_again(engineer):
    rating = make_rating(designation="7320")
    page = address("rating_edit", rating.pk)
    body = {**TYPED, "version": "1"}
    engineer.post(page, {**body, "cage": "brass"})
    answer = engineer.post(page, {**body, "cage": "steel"})
    assert answer.status_code == 409
    assert "Cage brass steel" in words(answer)
    assert 'name="version" value="2"' in answer.content.decode()
    assert engineer.post(page, {**body, "cage": "steel", "version": "2"}).status_code == 302
    assert Rating.objects.get().cage == "steel"


def test_a_stale_source_shows_both_and_nothing_is_written(engineer):
    source = make_source(edition="2019")
    page = address("source_edit", source.pk)
    body = {"maker": source.maker, "title": source.title, "version": "1"}
    assert engineer.post(page, {**body, "edition": "2020"}).status_code == 302
    answer = engineer.post(page, {**body, "edition": "2021"})
    assert answer.status_code == 409
    assert "Edition 2020 2021" in words(answer)
    source.refresh_from_db()
    assert source.edition == "2020"


def test_a_form_without_a_version_changes_nothing(engineer):
    rating = make_rating(designation="7320")
    assert engineer.post(address("rating_edit", rating.pk), TYPED).status_code == 409


# Doubtful figures and impossible ones


def doubtful(client, source: Source, **typed):
    """Enter 216 kN read off as pounds-force, with balls that say so."""
    balls = {"ball_count": "13", "ball_diameter_mm": "34.925", "dynamic_rating_n": "48559"}
    return enter(client, source, **{**balls, **typed})


def shown(answer) -> dict[str, str]:
    """Return what stands in the text fields of a form."""
    found = re.findall(r'<input type="(?:text|hidden)" name="(\w+)" value="([^"]*)"', answer.content.decode())
    return dict(found)


def test_a_rating_far_from_its_balls_is_asked_about_with_both_figures_and_saved_after_a_tick(engineer):
    source = make_source()
    answer = doubtful(engineer, source)
    assert answer.status_code == 422
    text = words(answer).replace("\u00a0", " ")
    # ISO 281:2007 Table 2: gamma 0.170, fc 59.8; 1.3 fc cos(40)^0.7 13^(2/3) 3.647 34.925^1.4 = 188.2 kN
    assert "The dynamic rating entered is 48,559 N; the balls suggest 188.2 kN" in text
    assert "Is it in lbf?" in text
    assert not Rating.objects.exists()
    body = {**shown(answer), "type": TYPED["type"], "as_printed": "on"}
    assert engineer.post(address("rating_new", source.pk), body).status_code == 302
    assert Rating.objects.get().figures["dynamic_rating_n"] == 48_559


def test_a_tick_counts_only_for_the_figures_that_it_was_set_for(engineer):
    source = make_source()
    answer = doubtful(engineer, source)
    body = {**shown(answer), "type": TYPED["type"], "as_printed": "on", "dynamic_rating_n": "216"}
    again = engineer.post(address("rating_new", source.pk), body)
    assert again.status_code == 422
    assert "Is it in kN?" in words(again)
    assert 'name="as_printed" id="id_as_printed" checked' not in again.content.decode()
    assert not Rating.objects.exists()


def test_figures_without_doubt_are_saved_without_a_tick(engineer):
    assert doubtful(engineer, make_source(), dynamic_rating_n="216 kN").status_code == 302


def test_a_correction_asks_too(engineer):
    rating = make_rating(designation="7320", figures={"contact_angle_deg": 40, "dynamic_rating_n": 216_000})
    body = {**TYPED, "version": "1", "dynamic_rating_n": "216"}
    answer = engineer.post(address("rating_edit", rating.pk), body)
    assert answer.status_code == 422
    assert "is usual for this size" in words(answer)


def test_balls_that_overlap_are_refused_beside_their_number(engineer):
    answer = doubtful(engineer, make_source(), ball_count="15", dynamic_rating_n="216 kN")
    assert answer.status_code == 422
    error = re.search(r'id="id_ball_count_error">(.*?)</div>', answer.content.decode(), re.DOTALL)[1]
    assert "The balls would overlap" in error
    assert "as_printed" not in answer.content.decode()


# Sizes by designation


def fill(client, source: Source, **typed):
    form = client.get(address("rating_new", source.pk))
    body = {"form_key": key_of(form), "type": "angular_contact_ball", **typed, "fill": "1"}
    return client.post(address("rating_new", source.pk), body)


def test_sizes_are_filled_by_the_designation_and_nothing_is_saved(engineer):
    answer = fill(engineer, make_source(), designation="7212 B", cage="brass", oil_speed_rpm="5000")
    assert answer.status_code == 200
    found = shown(answer)
    # ISO 15, dimension series 02, bore code 12
    assert (found["bore_mm"], found["outside_diameter_mm"], found["height_mm"]) == ("60", "110", "22")
    assert (found["cage"], found["oil_speed_rpm"]) == ("brass", "5000")
    assert "ISO 15 rule, derived" in words(answer)
    assert not Rating.objects.exists()


def test_a_size_that_is_typed_stays_and_the_table_is_shown_beside_it(engineer):
    answer = fill(engineer, make_source(), designation="7212", bore_mm="61")
    assert shown(answer)["bore_mm"] == "61"
    assert "Filled: outside diameter, height. Table: bore 60 mm" in words(answer).replace("\u00a0", " ")


def test_what_no_open_table_holds_is_said_and_not_guessed(engineer):
    source = make_source()
    answer = fill(engineer, source, designation="7320 X")
    assert shown(answer)["bore_mm"] == "100"
    assert "height_mm" not in shown(answer)
    assert "Not in the table: outside diameter, height." in words(answer)
    assert "No open table has the sizes of “Q 1”" in words(fill(engineer, source, designation="Q 1"))


def test_filling_works_while_correcting_too(engineer):
    rating = make_rating(designation="7212", bore_mm=60, outside_diameter_mm=None, height_mm=None)
    body = {"designation": "7212", "version": "1", "type": rating.type, "fill": "1"}
    answer = engineer.post(address("rating_edit", rating.pk), body)
    assert shown(answer)["outside_diameter_mm"] == "110"
    assert shown(answer)["version"] == "1"


def test_a_size_that_is_not_the_designations_is_asked_about(engineer):
    typed = {"designation": "7212", "bore_mm": "60", "outside_diameter_mm": "110", "height_mm": "23"}
    answer = enter(engineer, make_source(), **typed, dynamic_rating_n=None)
    assert "22 mm" in words(answer).replace("\u00a0", " ")


# What it costs


def test_the_pages_of_the_book_cost_the_same_for_one_rating_and_for_many(engineer, django_assert_num_queries):
    source = make_source()
    for designation in range(7301, 7331):
        make_rating(source, designation=str(designation))
    one = source.ratings.first()
    who = 3  # session, person, and whether a re-check has seen the book as it is
    with django_assert_num_queries(who + 2):
        engineer.get(address("book"), {"q": "73"})
    with django_assert_num_queries(who + 3):
        engineer.get(address("source", source.pk))
    with django_assert_num_queries(who + 2):
        engineer.get(address("rating", one.pk))
