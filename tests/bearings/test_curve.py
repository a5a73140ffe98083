import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.curve import load_curve
from tests.bearings.factories import deep_groove, duty, faces, stack


def test_the_curve_spans_every_case_and_meets_the_answer_at_each():
    built = stack(*faces("ddu", pair_preload_n=1_500.0), motor=duty(up_thrust_n=9_000.0))
    curve = load_curve(built, points=11)

    assert curve.refs == ("1", "2", "3")
    assert curve.points[0].external_down_n == pytest.approx(-10_800.0)
    assert curve.points[-1].external_down_n == pytest.approx(36_000.0)
    assert dict(curve.cases) == {"running": 30_000.0, "uncoupled": 0.0, "up_thrust": -9_000.0}


def test_the_unloading_point_is_a_point_of_the_curve():
    built = stack(*faces("ddu", pair_preload_n=1_500.0))
    curve = load_curve(built)
    expected = check_stack(built).unloading_thrust_n - 2_200.0

    assert curve.unloading_external_n == pytest.approx(expected)
    (at_unloading,) = [one for one in curve.points if one.external_down_n == curve.unloading_external_n]
    assert at_unloading.loads[2] == pytest.approx(0.0, abs=1e-6)


def test_a_curve_of_unknown_sharing_says_so():
    curve = load_curve(stack(*faces("d"), deep_groove()), points=3)

    assert curve.points[-1].loads == (None, None)


def test_a_stack_without_any_load_still_has_a_curve():
    curve = load_curve(stack(*faces("d"), motor=duty(down_thrust_n=None, rotor_weight_n=None)), points=3)

    assert [point.net_axial_n for point in curve.points] == [-1_000.0, 0.0, 1_000.0]
