import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.end_play import end_play_mm, gauge_of
from bearings.engineering.rising_angle import Grooves, RisingContact
from tests.bearings.factories import angular, deep_groove, faces, settled, stack


def sharing(*items):
    return check_stack(stack(*items)).sharing


def test_play_and_gauge_reading_of_two_gaps():
    # Gaps of 20 and 30 um, K = 1e6 N/mm^1.5 each, 200 N both ways: 50 um of play, and twice (200/1e6)^(2/3) mm
    # = 6.84 um of approach: 56.8 um (derived from F = K d^1.5). A flat angle of 90 degrees makes the model that law.
    law = Grooves(1e6, 1.0, 1.0, 0.0)
    pair = (RisingContact("1", 1, law, -0.020), RisingContact("2", -1, law, -0.030))
    play = end_play_mm([(1, -0.020), (-1, -0.030)])

    assert play * 1000 == pytest.approx(50.0)
    assert gauge_of(pair, 200.0).reading_um == pytest.approx(56.84, abs=0.01)


def test_the_least_gap_of_each_direction_makes_the_play():
    found = sharing(
        angular("d", stand_out_um=-40.0), angular("d", stand_out_um=-25.0), angular("u", stand_out_um=-10.0)
    )

    assert found.end_play_um == pytest.approx(35.0)
    assert found.gauge.reading_um > 35.0


def test_preload_is_a_negative_play_and_the_gauge_reads_only_what_yields():
    found = sharing(*faces("du", pair_preload_n=2_000.0))

    # Each stands out by its approach under 2 000 N: twice Palmgren's 8.0 um by hand (formula from memory).
    assert found.end_play_um == pytest.approx(-2 * 8.0, abs=0.05)
    assert 0 < found.gauge.reading_um < 5.0


@pytest.mark.parametrize(
    "items",
    [
        faces("dd", stand_out_um=2.0),
        faces("du"),
        (*faces("du", stand_out_um=2.0), deep_groove()),
        (angular("d", stand_out_um=2.0, spring_force_n=500.0), angular("u")),
    ],
)
def test_play_is_not_told_where_it_is_not_asked_or_has_no_meaning(items):
    assert sharing(*items).end_play_um is None


def test_preload_without_balls_leaves_the_play_open_and_says_what_is_missing():
    upper = angular("d", pair_preload_n=2_000.0, ball_count=None)
    lower = angular("u", pair_preload_n=2_000.0, ball_count=None, outside_diameter_mm=225.0)
    answer = check_stack(settled(stack(upper, lower)))

    assert answer.sharing.end_play_um is None
    (preload,) = [one for one in answer.subjects if one.subject == "preload"]
    assert {("ball_count", "1"), ("ball_count", "2")} <= set(preload.missing)


def test_measured_gaps_need_no_balls():
    assert sharing(
        angular("d", stand_out_um=-20.0, ball_count=None), angular("u", stand_out_um=-30.0, ball_count=None)
    ).end_play_um == pytest.approx(50.0)
