import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.quantities import Policy, SetFactors
from bearings.engineering.speed import (
    falls_short,
    lowest_limiting_speed,
    permissible,
    rated_speed,
    set_factor,
)
from tests.bearings.factories import (
    angular,
    deep_groove,
    duty,
    faces,
    guide,
    oil,
    settled,
    stack,
    thrust_roller,
)
from tests.reference.bearing_cases import SAME_SIZE_OTHER_INSIDE


def severities(built, code):
    return [one.severity for one in check_stack(built).findings if one.code == code]


@pytest.mark.parametrize(
    ("down", "up", "factor"),
    [(0, 0, 1.0), (1, 0, 1.0), (2, 0, 0.9), (0, 3, 0.8), (1, 1, 0.8), (2, 1, 0.7), (1, 3, 0.7), (2, 2, 0.75)],
)
def test_set_factors_count_one_way_bearings(down, up, factor):
    # common practice, no source
    assert set_factor(down, up, SetFactors()) == factor


@pytest.mark.parametrize(("limiting_rpm", "motor_rpm", "verdict", "source"), SAME_SIZE_OTHER_INSIDE)
def test_one_size_with_another_inside_gets_another_verdict(limiting_rpm, motor_rpm, verdict, source):
    built = stack(
        thrust_roller(limiting_speed_rpm=limiting_rpm),
        motor=duty(rated_speed_rpm=motor_rpm),
        guides=(guide("up"),),
    )

    expected = [] if verdict == "pass" else [verdict]
    assert severities(built, "speed-margin") == expected, source


def test_the_high_capacity_inside_leaves_a_margin_of_ten_and_a_half_per_cent():
    limiting_rpm, motor_rpm, _verdict, _source = SAME_SIZE_OTHER_INSIDE[1]
    roller = thrust_roller(limiting_speed_rpm=limiting_rpm)
    answer = check_stack(stack(roller, motor=duty(rated_speed_rpm=motor_rpm)))

    assert answer.speed.margins[0].margin == pytest.approx(0.1056, abs=1e-3)


@pytest.mark.parametrize(
    ("method", "values", "expected"),
    [
        ("oil_bath", {"limiting_speed_rpm": 2_700.0, "oil_speed_rpm": 2_000.0}, (2_000.0, "oil")),
        ("oil_jet", {"limiting_speed_rpm": 1_700.0, "oil_speed_rpm": 2_000.0}, (1_700.0, "limiting")),
        ("grease", {"limiting_speed_rpm": 2_700.0}, None),
        ("grease", {"limiting_speed_rpm": None, "reference_speed_rpm": 3_000.0}, None),
        ("grease", {"limiting_speed_rpm": 2_700.0, "grease_speed_rpm": 2_200.0}, (2_200.0, "grease")),
        ("oil_bath", {"limiting_speed_rpm": None, "grease_speed_rpm": 2_200.0}, None),
        ("oil_bath", {"limiting_speed_rpm": None, "reference_speed_rpm": 3_000.0}, (3_000.0, "reference")),
        (None, {"limiting_speed_rpm": None, "oil_speed_rpm": 2_200.0}, None),
        (None, {"limiting_speed_rpm": 2_700.0, "oil_speed_rpm": 2_200.0}, (2_700.0, "limiting")),
    ],
)
def test_the_rating_is_the_lower_of_the_speeds_that_count(method, values, expected):
    assert rated_speed(angular(**values), method) == expected


def test_products_and_margins_are_exact_at_their_limits():
    assert permissible(2_700.0, 0.7) == 1_890.0
    assert not falls_short(1_150.0, 1_000.0, 0.15)
    assert falls_short(1_149.999, 1_000.0, 0.15)
    assert severities(stack(*faces("ddu"), motor=duty(rated_speed_rpm=1_890.0)), "speed-margin") == ["warn"]


def test_springs_free_a_bearing_from_the_set_and_other_types_do_not_belong_to_it():
    built = stack(angular("d"), angular("u", spring_force_n=500.0), deep_groove())

    assert [row.set_factor for row in check_stack(built).speed.bearings] == [0.8, 1.0, 1.0]


def test_a_bearing_without_speed_leaves_the_stack_incomplete():
    answer = check_stack(stack(angular("d", limiting_speed_rpm=None), angular("u")))

    assert not answer.speed.complete
    assert answer.speed.governing == "2"
    assert [one.ref for one in answer.findings if one.code == "speed-not-rated"] == ["1"]
    assert "speed" in {one.check for one in answer.not_checked}


def test_a_reference_speed_is_no_speed_rating_but_a_mechanical_speed_beside_it_stops():
    heat_only = angular("d", limiting_speed_rpm=None, reference_speed_rpm=1_000.0)

    assert severities(stack(heat_only), "speed-margin") == []
    assert severities(stack(heat_only), "speed-not-rated") == ["warn"]
    assert severities(stack(heat_only), "reference-speed") == ["warn"]
    assert severities(stack(heat_only, angular("d", limiting_speed_rpm=1_500.0)), "speed-margin") == ["stop"]


def test_reverse_speed_is_held_against_limiting_speeds_without_set_factor():
    built = stack(*faces("ddu"), motor=duty(reverse_speed_rpm=2_800.0, non_reverse=False))
    answer = check_stack(built)

    assert answer.speed.margins[-1].permissible_rpm == 2_700.0
    assert [one.severity for one in answer.findings if one.params.get("speed") == "reverse"] == ["stop"]


def test_a_ratchet_takes_the_place_of_the_reverse_margin_and_is_to_be_inspected():
    answer = check_stack(stack(*faces("d"), motor=duty(reverse_speed_rpm=2_800.0, non_reverse=True)))

    assert [margin.speed for margin in answer.speed.margins] == ["rated"]
    assert [one.severity for one in answer.findings if one.params.get("speed") == "reverse"] == ["note"]


def test_reverse_speed_is_not_checked_when_a_bearing_has_no_limiting_speed():
    built = stack(angular("d", limiting_speed_rpm=None), motor=duty(reverse_speed_rpm=2_800.0))

    (speed,) = [one for one in check_stack(built).subjects if one.subject == "speed"]
    assert speed.verdict == "not_proven"
    assert ("limiting_speed_rpm", "1") in speed.missing


def test_a_loaded_guide_belongs_to_the_speed_check_and_an_unloaded_one_does_not():
    slow = {"limiting_speed_rpm": 1_000.0}
    holding = stack(thrust_roller(spring_force_n=5_000.0), guides=(guide("up", **slow),))
    idle = stack(thrust_roller(spring_force_n=5_000.0), guides=(guide("none", **slow),))

    assert check_stack(holding).speed.governing == "g1"
    assert [row.ref for row in check_stack(idle).speed.bearings] == ["1"]


@pytest.mark.parametrize(
    ("heat_removed_w", "expected"), [(None, ["warn"]), (100.0, ["stop"]), (50_000.0, [])]
)
def test_the_heat_balance_settles_a_low_reference_speed(heat_removed_w, expected):
    pair = faces("dd", reference_speed_rpm=1_900.0)
    built = settled(stack(*pair, lubrication=oil(heat_removed_w=heat_removed_w)))

    assert severities(built, "reference-speed") == expected


def test_the_shop_can_ask_for_another_margin():
    built = stack(angular("d"), motor=duty(rated_speed_rpm=2_500.0), policy=Policy(minimum_speed_margin=0.05))

    assert severities(built, "speed-margin") == []


def test_of_equal_limiting_speeds_the_upper_bearing_is_named():
    equal = angular(limiting_speed_rpm=2_700.0)
    assert lowest_limiting_speed((("1", equal), ("2", equal))) == (2_700.0, "1")
