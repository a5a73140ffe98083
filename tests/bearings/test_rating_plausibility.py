"""Ratings against the balls they should follow from, and balls that cannot be."""

from dataclasses import replace
from math import pi

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.rating_plausibility import (
    calculated_ratings,
    geometry_mistake,
    rating_doubts,
    suspected_unit,
)
from bearings.wording import finding_sentence
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
    assert "Was it read in lbf?" in sentence
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
    assert "cannot stand" in finding_sentence(finding)


def test_nothing_known_of_the_balls_doubts_nothing():
    assert geometry_mistake(angular(ball_diameter_mm=None)) is None
    assert rating_doubts(angular(ball_count=None)) == ()
    assert rating_doubts(thrust_roller()) == ()


def test_estimated_ratings_are_named_as_such():
    answer = check_stack(stack(angular(rating_basis="geometry")))
    (finding,) = [one for one in answer.findings if one.code == "rating-estimated"]
    assert finding.severity == "note"
    assert "not printed ones" in finding_sentence(finding)
