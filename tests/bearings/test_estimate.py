"""Ratings estimated from counted and measured rolling elements."""

from math import pi

import pytest
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from bearings.engineering.estimate import EstimateError, Rollers, estimate_ratings
from bearings.engineering.geometry import (
    ball_fatigue_limit,
    thrust_roller_dynamic_rating,
    thrust_roller_factor,
    thrust_roller_static_rating,
)
from bearings.engineering.quantities import Bearing
from tests.bearings.factories import angular, deep_groove, thrust_roller

# ISO 281:2007 Table 10, columns 50, 65 and 80 degrees: 50 recalled entry by entry, spot values of the other two.
TABLE_10 = (
    (0.01, 50, 109.7), (0.02, 50, 127.8), (0.04, 50, 148.3), (0.06, 50, 160.9), (0.08, 50, 169.5),
    (0.10, 50, 175.5), (0.12, 50, 179.7), (0.14, 50, 182.3), (0.16, 50, 183.7), (0.18, 50, 184.1),
    (0.20, 50, 183.7), (0.24, 50, 180.9), (0.26, 50, 178.7), (0.10, 65, 171.4), (0.20, 65, 179.3),
    (0.10, 80, 169.0), (0.20, 80, 176.9),
)  # fmt: skip


@pytest.mark.parametrize(("ratio", "angle", "factor"), TABLE_10)
def test_thrust_roller_factor_gives_the_table_of_the_standard(ratio, angle, factor):
    assert thrust_roller_factor(ratio, angle) == pytest.approx(factor, abs=0.06)


def test_thrust_roller_ratings_match_a_separate_calculation():
    # 17 rollers 25 x 22 mm at 50 degrees on 140 mm: computed apart from this code.
    inside = {"rollers": 17, "roller_mm": 25.0, "length_mm": 22.0, "pitch_mm": 140.0, "angle_deg": 50.0}
    assert thrust_roller_dynamic_rating(**inside) == pytest.approx(510_793, rel=1e-4)
    assert thrust_roller_static_rating(**inside) == pytest.approx(1_394_883, rel=1e-6)


def test_an_angular_contact_bearing_is_estimated_from_its_balls():
    # Harris, Rolling Bearing Analysis, 218 inside (from memory, unverified): 16 balls of 22.225 mm on
    # 125.26 mm at 40 degrees.
    one = Bearing(
        type="angular_contact_ball", wide_face="down", contact_angle_deg=40.0, ball_count=16,
        ball_diameter_mm=22.225, pitch_diameter_mm=125.26,
    )  # fmt: skip
    estimate = estimate_ratings(one)
    assert estimate.dynamic_rating_n == pytest.approx(106_549, rel=1e-3)
    assert estimate.static_rating_n == pytest.approx(93_729, rel=1e-3)
    assert "ISO 281" in estimate.source


def test_the_fatigue_limit_is_the_load_at_1500_newtons_per_square_millimetre():
    # The same inside; exact Annex B 4 372 N and the simplified C0 / 22 with its size factor 3 807 N were both computed
    # apart from this code: the standard itself warns that the two may differ, here by 15 per cent.
    inside = {"balls": 16, "ball_mm": 22.225, "pitch_mm": 125.26, "angle_deg": 40.0}
    exact = ball_fatigue_limit(**inside)
    assert exact == pytest.approx(4_372, rel=1e-3)
    assert exact / (93_729 / 22 * (100 / 125.26) ** 0.5) == pytest.approx(1.15, abs=0.01)


def test_the_fatigue_limit_agrees_with_hertz_by_scipy():
    # Annex B's own equation, with complete elliptic integrals from scipy and the axis ratio found by bisection.
    ball, gamma, ratio = 12.7, 12.7 / 65.0, 0.52
    limits = []
    for sign in (1, -1):
        other = sign * 2 / ball * gamma / (1 - sign * gamma)
        total = 4 / ball + other - 1 / (ratio * ball)
        difference = (other + 1 / (ratio * ball)) / total

        def excess(k, goal=difference):
            m = 1 - 1 / k**2
            return ((k**2 + 1) * ellipe(m) - 2 * ellipk(m)) / ((k**2 - 1) * ellipe(m)) - goal

        k = brentq(excess, 1.0001, 100)
        term = (1 - 0.3**2) / 207_000 * ellipe(1 - 1 / k**2) / total
        limits.append(1500**3 * 32 * pi * k / 3 * term**2)
    mine = ball_fatigue_limit(balls=9, ball_mm=ball, pitch_mm=65.0, angle_deg=0.0)
    assert mine == pytest.approx(0.2288 * 9 * min(limits), rel=1e-6)


def test_what_is_missing_is_named_all_at_once():
    with pytest.raises(EstimateError) as caught:
        estimate_ratings(angular(ball_count=None, ball_diameter_mm=None, contact_angle_deg=None))
    assert caught.value.fields == ("ball_count", "ball_diameter_mm", "contact_angle_deg")
    with pytest.raises(EstimateError) as caught:
        estimate_ratings(thrust_roller(), Rollers(count=17))
    assert caught.value.fields == ("roller_diameter_mm", "roller_length_mm", "contact_angle_deg")


@pytest.mark.parametrize(
    ("bearing", "rollers", "reason"),
    [
        (angular(ball_count=15), None, "impossible"),
        (angular(pitch_diameter_mm=50.0), None, "impossible"),
        (deep_groove(ball_count=7, ball_diameter_mm=1.0), None, "outside-table"),
        (thrust_roller(contact_angle_deg=45.0), Rollers(17, 30.0, 25.0), "outside-table"),
        (thrust_roller(contact_angle_deg=50.0), Rollers(17, 120.0, 25.0), "outside-table"),
        (Bearing(type="cylindrical_roller"), None, "no-rule"),
    ],
)
def test_what_the_standards_do_not_cover_is_refused_and_not_guessed(bearing, rollers, reason):
    with pytest.raises(EstimateError) as caught:
        estimate_ratings(bearing, rollers)
    assert caught.value.reason == reason
