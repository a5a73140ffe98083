"""What the rules say at their ends: no load, no rating, the first and the last value that they take."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.estimate import estimate_ratings
from bearings.engineering.geometry import (
    ball_dynamic_rating,
    ball_static_rating,
    thrust_roller_dynamic_rating,
    thrust_roller_factor,
)
from bearings.engineering.hertz import ball_contacts, ellipse_of
from bearings.engineering.quantities import DutyPoint
from bearings.engineering.rating import equivalent_load, fatigue_load_limit
from bearings.engineering.thermal import default_f1, friction_load, reference_surface, speed_at_power
from bearings.engineering.thrust import work_out_thrust
from bearings.engineering.thrust_figures import Figure
from bearings.engineering.thrust_verdicts import judge_thrust
from tests.bearings.factories import angular, deep_groove, duty, guide, settled, stack, thrust_roller
from tests.bearings.test_thrust import FULL


def test_bodies_of_one_curvature_touch_in_a_circle():
    # Hertz: without a difference of curvatures both half axes and the approach are those of a sphere on a plane.
    assert ellipse_of(0.0) == (1.0, 1.0, 1.0, 1.0)
    assert ellipse_of(2e-9) == pytest.approx((1.0, 1.0, 1.0, 1.0), abs=1e-6)
    for outside in (-1e-9, 1.0):
        with pytest.raises(ValueError, match="outside 0 to below 1"):
            ellipse_of(outside)


def test_without_a_load_nothing_is_pressed():
    contact = ball_contacts(12.7, 0.2, 0.52, 0.52).inner
    assert contact.greatest_pressure(0.0) == 0.0
    assert contact.approach_mm(0.0) == 0.0


@pytest.mark.parametrize("angle", [45.0, 90.0])
def test_a_thrust_roller_bearing_is_rated_above_45_and_below_90_degrees(angle):
    inside = {"rollers": 17, "roller_mm": 25.0, "length_mm": 22.0, "pitch_mm": 140.0}
    with pytest.raises(ValueError, match="outside the table, above 45 to below 90"):
        thrust_roller_dynamic_rating(**inside, angle_deg=angle)
    assert thrust_roller_dynamic_rating(**inside, angle_deg=45.5) > 0


def test_a_deep_groove_is_estimated_at_no_contact_angle_at_all():
    one = deep_groove(ball_count=8, ball_diameter_mm=32.0)
    inside = {"balls": 8, "ball_mm": 32.0, "pitch_mm": one.pitch_mm, "angle_deg": 0.0}
    found = estimate_ratings(one)
    assert (found.dynamic_rating_n, found.static_rating_n) == (
        ball_dynamic_rating(**inside),
        ball_static_rating(**inside),
    )


def test_what_a_rating_or_size_is_missing_for_stays_unknown():
    assert fatigue_load_limit(angular(static_rating_n=None)) is None
    assert fatigue_load_limit(angular(bore_mm=None)) is None
    assert default_f1(angular(static_rating_n=None), 1_000.0, 0.0) is None
    assert default_f1(angular(contact_angle_deg=None), 1_000.0, 0.0) is None


def test_the_friction_of_a_cylindrical_roller_bearing_grows_with_its_radial_load():
    # Palmgren: P1 = Fr of cylindrical rollers, Fa of thrust rollers (textbook).
    rollers = replace(deep_groove(), type="cylindrical_roller")
    assert friction_load(rollers, 5_000.0, 2_000.0) == 2_000.0
    assert friction_load(thrust_roller(), 5_000.0, 2_000.0) == 5_000.0


@pytest.mark.parametrize("power", [0.0, -1.0])
def test_no_power_turns_nothing(power):
    assert speed_at_power(1.0, 1.0, power) == 0.0


def test_friction_without_drag_of_load_turns_as_its_power_law_says():
    # drag n^(2/3) n pi / 30 000 = W, by hand.
    assert speed_at_power(1.0, 0.0, 1_000.0 ** (5 / 3) * pi / 30_000) == pytest.approx(1_000.0)


def test_the_radial_load_of_a_duty_is_shared_by_the_bearings_that_carry_and_a_guide_takes_none_of_it():
    motor = duty(
        radial_load_n=6_000.0, duty=(DutyPoint(share=1.0, speed_rpm=1_780.0, down_thrust_n=30_000.0),)
    )
    found = check_stack(stack(angular("d"), angular("d"), motor=motor)).sharing.duty
    axial = (30_000.0 + motor.rotor_weight_n) / 2
    assert [row.equivalent_load_n for row in found.bearings] == pytest.approx(
        [equivalent_load(angular("d"), axial, 3_000.0)] * 2, rel=1e-9
    )
    held = (thrust_roller("d", spring_force_n=6_000.0),)
    motor = replace(motor, duty=(DutyPoint(share=1.0, speed_rpm=1_780.0, down_thrust_n=0.0),))
    answer = check_stack(stack(*held, guides=(guide("up"),), motor=motor)).sharing.duty
    (row,) = [one for one in answer.bearings if one.ref == "g1"]
    (case,) = answer.rows
    assert case.carried
    assert row.equivalent_load_n == pytest.approx(
        equivalent_load(guide("up").bearing, 6_000.0 - motor.rotor_weight_n, 0.0)
    )


@pytest.mark.parametrize(("ns", "between"), [(40.0, False), (40.1, True), (99.9, True), (100.0, False)])
def test_only_between_the_ends_of_the_guide_the_runaway_is_our_own_line(ns, between):
    figure = work_out_thrust(replace(FULL, specific_speed=ns)).figure("runaway_speed")
    assert ("between 40 and 100 interpolated" in figure.source) is between


def known(name: str, value: float | None) -> Figure:
    return replace(work_out_thrust(FULL).figure(name), value=value)


def test_a_thrust_below_a_newton_has_a_margin_and_none_at_all_has_not():
    plate = known("plate_external", 1_000.0)
    for thrust, margin in ((0.5, 1_999.0), (0.0, None)):
        figures = {
            "plate_external": plate,
            "down_duty": known("down_duty", thrust),
            "down_worst": known("down_worst", 1_000.0),
            "up_limit": known("up_limit", 1_000.0),
        }
        down, worst, up = judge_thrust(figures, thrust)
        assert (down.verdict, worst.verdict, up.verdict) == ("pass", "pass", "pass")
        assert down.margin == (margin if margin is None else pytest.approx(margin))
        assert up.margin == (margin if margin is None else pytest.approx(margin))


def test_washers_without_a_face_between_them_give_off_no_heat_that_could_be_reckoned_with():
    flat = thrust_roller(shaft_washer_diameter_mm=150.0, housing_washer_bore_mm=300.0, bore_mm=150.0)
    assert reference_surface(replace(flat, outside_diameter_mm=300.0)) is None
    assert reference_surface(replace(flat, outside_diameter_mm=300.1)) is not None


def test_a_contact_angle_makes_no_angular_contact_bearing_of_a_deep_groove():
    plain, angled = deep_groove(), deep_groove(contact_angle_deg=15.0)
    assert equivalent_load(angled, 5_000.0, 1_000.0) == equivalent_load(plain, 5_000.0, 1_000.0)
    assert equivalent_load(angular(contact_angle_deg=None), 5_000.0, 1_000.0) is None


@pytest.mark.parametrize(
    ("thrust", "speed", "shown"),
    [
        (30_000.0, 1_780.0, {"duty-life"}),
        (29_999.9, 1_780.0, {"life", "duty-life"}),
        (30_000.0, 1_779.9, {"life", "duty-life"}),
        (30_000.1, 1_780.1, {"duty-life"}),
    ],
)
def test_a_duty_replaces_the_running_case_only_where_it_covers_its_thrust_and_speed_to_the_last_newton(
    thrust, speed, shown
):
    part = DutyPoint(share=1.0, speed_rpm=speed, down_thrust_n=thrust)
    motor = duty(duty=(part,), required_l10h=1e6, fixed_speed=True, maximum_down_thrust_n=30_000.0)
    found = check_stack(settled(stack(angular("d"), angular("d"), angular("u"), motor=motor))).findings
    assert {one.code for one in found if one.code in ("life", "duty-life")} == shown


@pytest.mark.parametrize("thrust", [900_000.0, -900_000.0])
def test_a_part_of_the_duty_beyond_the_plate_is_judged_for_static_safety_itself(thrust):
    """Greater than any case of the plate: no case covers it, so the part of the duty is named."""
    part = DutyPoint(share=0.001, speed_rpm=1_780.0, down_thrust_n=thrust)
    rest = DutyPoint(share=0.999, speed_rpm=1_780.0, down_thrust_n=30_000.0)
    found = check_stack(settled(stack(angular("d"), angular("u"), motor=duty(duty=(rest, part)))))
    (stop,) = {
        one.params["part"] for one in found.findings if one.code == "static-safety" and one.severity == "stop"
    }
    assert stop == 2


def test_a_makers_fatigue_limit_comes_before_the_estimate():
    assert fatigue_load_limit(angular(fatigue_load_limit_n=5_000.0)) == 5_000.0


def test_up_thrust_equal_to_the_limit_passes():
    figures = {
        name: known(name, 1_000.0) for name in ("plate_external", "down_duty", "down_worst", "up_limit")
    }
    assert [judge_thrust(figures, asked)[2].verdict for asked in (1_000.0, 1_000.1)] == ["pass", "fail"]


@pytest.mark.parametrize(
    ("angle", "factor"), [(59.9, 175.5), (60.0, 171.4), (74.9, 171.4), (75.0, 169.0), (89.9, 169.0)]
)
def test_the_column_of_a_thrust_roller_changes_at_60_and_75_degrees(angle, factor):
    # ISO 281:2007 Table 10 at 0.10, columns 50, 65 and 80 degrees; the bounds from memory, unverified.
    assert thrust_roller_factor(0.10, angle) == pytest.approx(factor, abs=0.06)
