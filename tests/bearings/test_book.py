"""The bearing book: what it takes, what it refuses and in which words, and how a rating is found."""

from __future__ import annotations

import math

import pytest
from django.db import connection

from bearings.book import (
    FIGURES,
    BookError,
    StaleBookError,
    add_rating,
    add_source,
    change_rating,
    change_source,
    rating_as_bearing,
    rating_figures,
)
from bearings.models import Rating, Source
from bearings.stack_file import parse_item

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BALL = {"bore_mm": 100, "outside_diameter_mm": 215, "height_mm": 47, "contact_angle_deg": 40}


@pytest.fixture
def source() -> Source:
    return add_source(maker="Maker A (invented)", title="Bearing tables", edition="2019")


def enter(source: Source, **more) -> Rating:
    fields = {"designation": "7320 X", "type": "angular_contact_ball", "figures": dict(BALL), **more}
    return add_rating(source=source, **fields)


def refusal(call, **fields) -> BookError:
    with pytest.raises(BookError) as caught:
        call(**fields)
    return caught.value


# Sources


def test_a_source_needs_maker_title_and_edition_and_says_so_of_each():
    error = refusal(add_source, maker=" ", title="", edition="")
    assert set(error.mistakes) == {"maker", "title", "edition"}
    assert "at most 80 characters" in error.mistakes["maker"]
    assert not Source.objects.exists()


def test_the_same_edition_is_refused_whatever_its_case(source):
    error = refusal(add_source, maker="MAKER A (INVENTED)", title="Bearing tables", edition="2019")
    assert error.field == "edition"


def test_a_source_changed_by_somebody_else_is_not_overwritten(source):
    change_source(source=source, version=1, maker="Maker B (invented)", title="Tables", edition="2020")
    with pytest.raises(StaleBookError):
        change_source(source=source, version=1, maker="Maker C", title="Tables", edition="2021")
    source.refresh_from_db()
    assert (source.maker, source.version) == ("Maker B (invented)", 2)


# Ratings


def test_a_rating_keeps_what_is_printed_apart_from_what_is_not_and_what_is_not_entered(source):
    rating = enter(source, figures={**BALL, "limiting_speed_rpm": 2700}, not_printed=["grease_speed_rpm"])
    rating.refresh_from_db()
    assert rating_figures(rating)["limiting_speed_rpm"] == 2700
    assert rating.not_printed == ["grease_speed_rpm"]
    assert "oil_speed_rpm" not in rating.figures
    assert rating.bore_mm == 100
    assert "bore_mm" not in rating.figures


def test_a_rating_copied_into_a_record_is_a_bearing_of_the_stack_file_with_its_source(source):
    rating = enter(source, variant="B", cage="brass", figures={**BALL, "ball_count": 13})
    bearing = rating_as_bearing(rating)
    assert bearing["source"] == "Maker A (invented), Bearing tables, 2019"
    assert (bearing["maker"], bearing["variant"], bearing["cage"]) == ("Maker A (invented)", "B", "brass")
    assert "wide_face" not in bearing
    item, mistakes = parse_item({**bearing, "wide_face": "down"})
    assert mistakes == ()
    assert item.ball_count == 13


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("outside_diameter_mm", 90.0, "above the bore. Accepted: more than 100 mm"),
        ("dynamic_rating_n", 0, "Accepted: a number from 0.001"),
        ("static_rating_n", 1e308, "out of range"),
        ("limiting_speed_rpm", "fast", "Enter a number"),
        ("oil_speed_rpm", math.nan, "Enter a finite number"),
        ("reference_speed_rpm", math.inf, "Enter a finite number"),
        ("contact_angle_deg", 60, "15 to 45 degrees"),
        ("ball_count", 12.5, "Enter a whole number"),
        ("ball_count", True, "Enter a number"),
        ("cage_material", "plastic", 'Accepted: "brass", "steel"'),
        ("temperature_limit_c", 501, "out of range. Accepted: a number from 0 to 500"),
        ("stabilised_to_c", -1, "out of range. Accepted: a number from 0 to 500"),
        ("spring_force_n", 500, "no such figure"),
    ],
)
def test_an_impossible_figure_is_refused_under_its_own_name(source, name, value, words):
    error = refusal(enter, source=source, figures={**BALL, name: value})
    assert words in error.mistakes[name]
    assert not Rating.objects.exists()


def test_all_mistakes_of_a_rating_are_told_at_once(source):
    error = refusal(
        enter,
        source=source,
        designation="",
        type="ball",
        figures={**BALL, "bore_mm": -1, "static_rating_n": 0},
        not_printed=["f0", "bore_mm", "colour"],
    )
    assert {"designation", "type", "bore_mm", "static_rating_n", "colour"} <= set(error.mistakes)


def test_a_figure_that_is_entered_cannot_be_not_printed_as_well(source):
    error = refusal(enter, source=source, not_printed=["bore_mm"])
    assert "not both" in error.mistakes["bore_mm"]


def test_a_designation_without_letter_or_figure_is_refused(source):
    assert refusal(enter, source=source, designation="--").field == "designation"


def test_a_designation_that_grows_in_capitals_is_refused_before_the_table_is(source):
    assert refusal(enter, source=source, designation="ß" * 40).field == "designation"


def test_text_that_cannot_be_stored_is_refused(source):
    assert "cannot be stored" in refusal(enter, source=source, variant="a\0").mistakes["variant"]


def test_a_designation_stands_once_in_a_source_for_each_variant_and_cage(source):
    enter(source)
    assert refusal(enter, source=source, designation="7320-x").field == "designation"
    enter(source, variant="clearance C3")
    enter(source, cage="brass")
    assert Rating.objects.count() == 3


def test_the_same_designation_stands_in_two_editions_with_its_own_figures(source):
    later = add_source(maker="Maker A (invented)", title="Bearing tables", edition="2024")
    enter(source, figures={**BALL, "limiting_speed_rpm": 2700})
    enter(later, figures={**BALL, "limiting_speed_rpm": 3400})
    found = Rating.objects.found_by("7320x")
    assert [one.figures["limiting_speed_rpm"] for one in found] == [2700, 3400]


def test_a_rating_changed_by_somebody_else_is_not_overwritten(source):
    rating = enter(source)
    fields = {"designation": "7320 X", "type": "angular_contact_ball"}
    change_rating(rating=rating, version=1, **fields, figures={**BALL, "static_rating_n": 208_000})
    with pytest.raises(StaleBookError):
        change_rating(rating=rating, version=1, **fields, figures=BALL)
    rating.refresh_from_db()
    assert (rating.version, rating.figures["static_rating_n"]) == (2, 208_000)


def test_a_change_may_take_a_figure_away_and_say_that_it_is_not_printed(source):
    rating = enter(source, figures={**BALL, "f0": 2.0})
    changed = change_rating(
        rating=rating,
        version=1,
        designation="7320 X",
        type="angular_contact_ball",
        figures=BALL,
        not_printed=["f0"],
    )
    assert "f0" not in rating_figures(changed)
    assert changed.not_printed == ["f0"]


def test_nothing_of_the_single_piece_can_stand_in_a_book():
    assert not {"wide_face", "serial", "mark", "set_id", "stand_out_um", "spring_force_n"} & set(FIGURES)


# Finding


@pytest.mark.parametrize("typed", ["7320", "73 20-x", "7320X", "7"])
def test_a_rating_is_found_by_the_beginning_of_its_designation(source, typed):
    enter(source)
    enter(source, designation="29412")
    assert [one.designation for one in Rating.objects.found_by(typed)] == ["7320 X"]


def test_ratings_are_found_in_order_and_with_their_source_in_one_query(source, django_assert_num_queries):
    for designation in ("7322", "7320", "7320 X"):
        enter(source, designation=designation)
    with django_assert_num_queries(1):
        found = [(one.designation, one.source.edition) for one in Rating.objects.found_by("73")]
    assert found == [("7320", "2019"), ("7320 X", "2019"), ("7322", "2019")]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="the plan is SQLite's")
def test_finding_as_one_types_uses_the_index():
    assert "rating_designation" in Rating.objects.found_by("73").explain()
