"""Ratings against the balls they should follow from, and balls that cannot be."""

from dataclasses import replace
from math import pi

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.rating_plausibility import (
    EnvelopeDoubt,
    RatioDoubt,
    boundary_doubts,
    calculated_ratings,
    entry_doubts,
    geometry_mistake,
    rating_doubts,
    suspected_unit,
)
from bearings.wording import finding_sentence
from bearings.wording.entry_doubts import doubt_sentence, impossible_sentence
from tests.bearings.factories import angular, deep_groove, stack, thrust_roller

NEWTONS_PER_POUND = 4.4482216152605  # NIST SP 811


# 02-series deep groove bearings: Shigley's Mechanical Engineering Design, Table 11-2 (recollected), against inside
# sizes of open data papers (tests/reference/internal_geometry.csv): 6205 14.0 kN, 6203 9.56 kN, 6204 12.7 kN.
@pytest.mark.parametrize(
    ("bore", "outside", "balls", "ball", "pitch", "dynamic"),
    [
        (25.0, 52.0, 9, 7.94, 39.04, 14_000.0),
        (17.0, 40.0, 8, 6.77, 28.5, 9_560.0),
        (20.0, 47.0, 8, 7.94, 34.57, 12_700.0),
    ],
)
def test_textbook_ratings_follow_from_open_geometry_and_are_not_doubted(
    bore, outside, balls, ball, pitch, dynamic
):
    one = deep_groove(
        bore_mm=bore,
        outside_diameter_mm=outside,
        ball_count=balls,
        ball_diameter_mm=ball,
        pitch_diameter_mm=pitch,
        dynamic_rating_n=dynamic,
        static_rating_n=None,
    )
    # bm 1.3 and fc of the standard; the book rounds to three figures and its tables are older: 1.5 per cent.
    assert calculated_ratings(one)["dynamic_rating_n"] == pytest.approx(dynamic, rel=0.015)
    assert rating_doubts(one) == ()


def test_a_rating_read_in_pounds_is_asked_about_with_both_figures():
    honest = angular()
    dynamic = calculated_ratings(honest)["dynamic_rating_n"]
    slip = replace(honest, dynamic_rating_n=dynamic / NEWTONS_PER_POUND, static_rating_n=None)
    (doubt,) = rating_doubts(slip)
    assert (doubt.field, doubt.suspected) == ("dynamic_rating_n", "lbf")
    (finding,) = [one for one in check_stack(stack(slip)).findings if one.code == "rating-geometry"]
    sentence = finding_sentence(finding)
    assert "Was it in lbf?" in sentence
    assert finding.limit == pytest.approx(dynamic)


@pytest.mark.parametrize(
    ("ratio", "unit"), [(0.2248, "lbf"), (0.001, "kN"), (0.102, "kgf"), (0.5, None), (1.0, None), (4.4, None)]
)
def test_the_unit_is_guessed_from_the_ratio(ratio, unit):
    assert suspected_unit(ratio) == unit


def test_makers_may_rate_above_and_below_the_standard():
    dynamic = calculated_ratings(angular())["dynamic_rating_n"]
    for share, doubted in ((0.74, True), (0.76, False), (1.34, False), (1.36, True)):
        one = angular(dynamic_rating_n=dynamic * share, static_rating_n=None)
        assert bool(rating_doubts(one)) is doubted


def test_balls_that_would_overlap_are_told_and_give_no_ratings():
    crowded = angular(ball_count=15)
    mistake = geometry_mistake(crowded)
    assert mistake.reason == "overlap"
    assert mistake.there_mm == pytest.approx(pi * 157.5)
    assert mistake.needed_mm > mistake.there_mm
    assert calculated_ratings(crowded) == {}
    (finding,) = [one for one in check_stack(stack(crowded)).findings if one.code == "geometry-impossible"]
    assert "would overlap" in finding_sentence(finding)


def test_balls_that_just_touch_are_possible():
    # n touching balls stand on a circle of Dw / sin(pi / n).
    pitch = 30.0 / 0.2225209339563144  # sin(pi / 14)
    assert (
        geometry_mistake(angular(ball_count=14, ball_diameter_mm=30.0, pitch_diameter_mm=pitch + 1e-6))
        is None
    )
    tight = angular(ball_count=14, ball_diameter_mm=30.0, pitch_diameter_mm=pitch - 0.01)
    assert geometry_mistake(tight).reason == "overlap"


def test_a_ball_larger_than_the_space_between_the_rings_is_told():
    large = angular(ball_diameter_mm=58.0)
    assert geometry_mistake(large).reason == "too-large"
    (finding,) = [one for one in check_stack(stack(large)).findings if one.code == "geometry-impossible"]
    assert "does not fit" in finding_sentence(finding)


def test_nothing_known_of_the_balls_doubts_nothing():
    assert geometry_mistake(angular(ball_diameter_mm=None)) is None
    assert rating_doubts(angular(ball_count=None)) == ()
    assert rating_doubts(thrust_roller()) == ()


def test_estimated_ratings_are_named_as_such():
    answer = check_stack(stack(angular(rating_basis="geometry")))
    (finding,) = [one for one in answer.findings if one.code == "rating-estimated"]
    assert finding.severity == "note"
    assert "not published" in finding_sentence(finding)


# Before an entry is written


def bare(**fields):
    """A deep groove bearing without balls, as most books print it: 6205, textbook ratings as above."""
    sizes = {"bore_mm": 25.0, "outside_diameter_mm": 52.0, "height_mm": 15.0, "designation": "6205"}
    ratings = {"dynamic_rating_n": 14_000.0, "static_rating_n": 6_950.0}
    inside = {"ball_count": None, "ball_diameter_mm": None, "pitch_diameter_mm": None}
    return deep_groove(**{**sizes, **ratings, **inside, **fields})


def test_textbook_ratings_without_balls_are_not_asked_about():
    assert entry_doubts(bare()) == ()
    wider = bare(
        designation="6203",
        bore_mm=17.0,
        outside_diameter_mm=40.0,
        height_mm=12.0,
        dynamic_rating_n=9_560.0,
        static_rating_n=4_500.0,
    )
    assert entry_doubts(wider) == ()


@pytest.mark.parametrize(
    ("divisor", "unit", "question"),
    [
        (NEWTONS_PER_POUND, "lbf", "Is it in lbf?"),
        (1000, "kN", "Is it in kN?"),
        (9.80665, "kgf", "Is it in kgf?"),
    ],
)
def test_a_slip_of_the_unit_is_asked_about_without_balls_too(divisor, unit, question):
    doubts = entry_doubts(bare(dynamic_rating_n=14_000 / divisor, static_rating_n=6_950 / divisor))
    assert [type(one) for one in doubts] == [EnvelopeDoubt, EnvelopeDoubt]
    assert {one.suspected for one in doubts} == {unit}
    sentence = doubt_sentence(doubts[0])
    assert question in sentence
    assert "is usual for this size" in sentence


def test_a_rating_that_no_slip_explains_is_left_to_the_one_who_reads_the_book_unless_it_is_far_away():
    assert entry_doubts(bare(dynamic_rating_n=9_000.0, static_rating_n=4_600.0)) == ()
    doubts = entry_doubts(bare(dynamic_rating_n=80_000.0, static_rating_n=None))
    assert [one.suspected for one in doubts] == [None]
    assert "Check the figure, its unit and the sizes." in doubt_sentence(doubts[0])
    assert len(entry_doubts(bare(dynamic_rating_n=3.0, static_rating_n=None))) == 1


def test_one_of_two_ratings_in_another_unit_is_seen_by_their_ratio():
    roller = thrust_roller(dynamic_rating_n=1_180_000.0, static_rating_n=4_400_000.0 / NEWTONS_PER_POUND)
    (doubt,) = entry_doubts(roller)
    assert isinstance(doubt, RatioDoubt)
    assert doubt.ratio == pytest.approx(0.838, abs=0.001)
    assert "1.5 to 6.5 is usual" in doubt_sentence(doubt)


def test_sizes_are_held_against_the_designation_and_inches_are_asked_about():
    doubts = boundary_doubts(bare(bore_mm=25.0 / 25.4, outside_diameter_mm=53.0))
    assert [(one.field, one.inches) for one in doubts] == [("bore_mm", True), ("outside_diameter_mm", False)]
    assert "Is it in inches?" in doubt_sentence(doubts[0])
    assert "53\u00a0mm; 52\u00a0mm is standard" in doubt_sentence(doubts[1])


def test_a_size_printed_in_inches_to_four_places_is_the_same_size():
    # 52 mm = 2.0472 in, 15 mm = 0.5906 in (rounded to a ten-thousandth)
    assert boundary_doubts(bare(outside_diameter_mm=2.0472 * 25.4, height_mm=0.5906 * 25.4)) == ()


def test_what_is_impossible_is_said_with_what_is_needed_and_what_is_there():
    field, sentence = impossible_sentence(geometry_mistake(angular(ball_count=15)))
    assert field == "ball_count"
    assert "494.801\u00a0mm" in sentence
    field, sentence = impossible_sentence(geometry_mistake(angular(ball_diameter_mm=58.0)))
    assert field == "ball_diameter_mm"
    assert "57.5\u00a0mm" in sentence
