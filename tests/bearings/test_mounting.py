"""What a fit does to a bearing, and the heat to mount it."""

from __future__ import annotations

from decimal import Decimal
from math import radians, tan

import pytest

from bearings.engineering.fits import FitError, FitRange, Limits, bearing_limits, ring_limits, zone_limits
from bearings.engineering.mounting import Spread, heating, preload_change, raceway_growth, seat_fits

D = Decimal


def test_a_fit_is_known_by_tolerance_with_the_seat_measured_and_with_both_measured():
    # ISO 286-2 k5 3..18 over ISO 492 Normal bore 0..-20: 3 to 38 µm; a seat of +9..+13 µm over the same bore: 9 to 33
    found = seat_fits(
        "bore",
        D(100),
        zone=zone_limits("k5", D(100)),
        ring=bearing_limits("bore", D(100)),
        seat_mm=(D("100.009"), D("100.011"), D("100.013")),
        ring_mm=D("99.992"),
    )
    assert found.by_tolerance == FitRange(tightest_um=D(38), loosest_um=D(3))
    assert found.seat_measured == FitRange(tightest_um=D(33), loosest_um=D(9))
    assert found.measured_um == D(19)
    assert found.best_known == FitRange(tightest_um=D(19), loosest_um=D(19))


def test_a_housing_counts_clearance_as_negative_interference():
    # ISO 286-2 H6 0..+25 round ISO 492 Normal outside diameter 0..-25 at 180 mm: 0 to 50 µm clearance
    found = seat_fits(
        "od",
        D(180),
        zone=zone_limits("H6", D(180)),
        ring=ring_limits("angular_contact_ball", "od", D(180), tolerance_class="Normal"),
        seat_mm=(D("180.010"), D("180.012"), D("180.014")),
        ring_mm=D("179.990"),
    )
    assert found.by_tolerance == FitRange(tightest_um=D(0), loosest_um=D(-50))
    assert found.seat_measured == FitRange(tightest_um=D(-10), loosest_um=D(-39))
    assert found.measured_um == D(-22)


def test_what_is_not_known_of_a_fit_is_left_open():
    found = seat_fits("bore", D(100), zone=None, ring=None, seat_mm=None, ring_mm=D("99.99"))
    assert (found.by_tolerance, found.seat_measured, found.measured_um, found.best_known) == (None,) * 4
    zone = Limits(lower_um=D(3), upper_um=D(18))
    assert seat_fits("bore", D(100), zone=zone, ring=None, seat_mm=None, ring_mm=None).by_tolerance is None


def test_half_to_four_fifths_of_an_interference_reach_the_raceway():
    # common practice, no source
    fit = FitRange(tightest_um=D(38), loosest_um=D(3))
    assert raceway_growth(fit) == Spread(least_um=D("1.5"), most_um=D("30.4"))
    loose = FitRange(tightest_um=D(-2), loosest_um=D(-20))
    assert raceway_growth(loose) == Spread(least_um=D(0), most_um=D(0))


def test_growth_of_a_raceway_closes_a_bearing_by_itself_over_twice_the_tangent():
    growth = Spread(least_um=D(10), most_um=D(20))
    found = preload_change(growth, 40)
    assert float(found.most_um) == pytest.approx(20 / (2 * tan(radians(40))), abs=0.05)
    # at 45 degrees the tangent is 1: half of the growth, by hand
    assert preload_change(growth, 45) == Spread(least_um=D("5.0"), most_um=D("10.0"))
    with pytest.raises(FitError, match="contact_angle_deg"):
        preload_change(growth, 90)


@pytest.mark.parametrize("angle", [0.5, 1.0, 89.5])
def test_any_angle_between_none_and_a_right_one_is_taken(angle):
    found = preload_change(Spread(least_um=D(10), most_um=D(20)), angle)
    # Geometry: the raceway's growth over 2 tan(alpha).
    assert float(found.most_um) == pytest.approx(10 / tan(radians(angle)), abs=0.06)


@pytest.mark.parametrize(
    ("bore", "tightest", "temperature", "verdict"),
    [
        # arithmetic with 12e-6 and 50 µm to spare: common practice, no source; 120 m5 over Normal: 48 µm
        ("120", "48", "88.1", "above_sealed"),
        ("120", "0", "20", "no_heat"),
        ("120", "-5", "20", "no_heat"),
        ("200", "30", "53.4", "within"),
        ("50", "4", "110.0", "above_sealed"),
        ("50", "4.1", "110.2", "above_normal"),
        ("50", "10", "120.0", "above_normal"),
        ("50", "10.1", "120.2", "above_ceiling"),
    ],
)
def test_the_heat_to_mount_is_rounded_up_and_held_against_the_ceilings(bore, tightest, temperature, verdict):
    found = heating(D(bore), D(tightest))
    assert (found.temperature_c, found.verdict) == (D(temperature), verdict)


def test_a_colder_shaft_takes_less_heat():
    assert heating(D(120), D(48), D(10)).temperature_c == D("78.1")


def test_a_bore_of_nothing_is_refused():
    with pytest.raises(FitError, match="bore_mm"):
        heating(D(0), D(10))


@pytest.mark.parametrize(
    ("tightest", "temperature", "verdict"), [("22", "80.0", "within"), ("22.1", "80.1", "above_sealed")]
)
def test_eighty_degrees_is_what_a_sealed_bearing_still_takes(tightest, temperature, verdict):
    # (22 + 50) µm over 12e-6 x 100 mm are 60 K above 20 °C, by hand; 80 °C: common practice, no source.
    found = heating(D(100), D(tightest))
    assert (found.temperature_c, found.verdict) == (D(temperature), verdict)
