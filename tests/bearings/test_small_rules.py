"""Small rules of the checker, one by one: each fails when its line is changed."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from scipy.optimize import brentq

from bearings.engineering import case_results
from bearings.engineering.arrangement import mount_of
from bearings.engineering.assessment import check_stack
from bearings.engineering.case_results import _basis
from bearings.engineering.end_play import GAUGE_FORCE_N
from bearings.engineering.growth import growth_modelled, raceway_growth
from bearings.engineering.least_load import least_load
from bearings.engineering.loads import _sprung_and_held
from bearings.engineering.quantities import Part, Policy
from bearings.engineering.rising_angle import Grooves, RisingContact, rising_freeing_thrust
from bearings.engineering.subjects.preload import UNLOADED_BELOW_N, _Change
from bearings.stack_file import parse_stack
from tests.bearings.factories import angular, deep_groove, duty, faces, guide, oil, stack, thrust_roller

COMPLETE = Path(__file__).parents[2] / "bearings" / "examples" / "complete.json"


def asked(built) -> set[tuple[str, str | None]]:
    return {(one.field, one.ref) for result in check_stack(built).subjects for one in result.missing}


def finding(built, code):
    return next((one for one in check_stack(built).findings if one.code == code), None)


def test_the_band_of_a_predicted_end_play_is_that_of_the_contract():
    # 5 µm for face offsets, 3 µm for interference, 2 µm for each spacer; gauge load 500 N: common practice, no source.
    band = case_results
    assert band.STAND_OUT_TOLERANCE_UM == 5.0
    assert band.INTERFERENCE_TOLERANCE_UM == 3.0
    assert band.SPACER_TOLERANCE_UM == 2.0
    assert GAUGE_FORCE_N == Policy().gauge_force_n == 500.0


@pytest.mark.parametrize(
    "unknown",
    [{"pairing": None}, {"pair_preload_n": None, "stand_out_um": None}, {"fit_interference_um": None}],
)
def test_an_end_play_rests_on_entered_figures_only_where_all_of_them_are_entered(unknown):
    known = {"pairing": "universal", "pair_preload_n": 500.0, "fit_interference_um": 8.0}
    assert _basis(stack(*faces("du", **known))) == "entered"
    assert _basis(stack(*faces("du", **{**known, "pair_preload_n": None, "stand_out_um": 4.0}))) == "entered"
    assert _basis(stack(*faces("du", **known), thrust_roller())) == "entered"
    assert _basis(stack(angular("d", **known), angular("u", **{**known, **unknown}))) == "assumed"


def spaced(*parts: Part):
    one, other = faces("du")
    return stack(one, *parts, other)


def test_a_spacer_is_asked_for_the_height_that_is_not_known():
    both = Part(kind="spacer", ring="both", inner_height_mm=12.0)
    assert ("outer_height_mm", "b") in asked(spaced(both))
    assert ("inner_height_mm", "b") not in asked(spaced(both))
    assert not {one for one in asked(spaced(replace(both, outer_height_mm=12.0))) if one[1] == "b"}
    equal = Part(kind="spacer", ring="both", height_mm=12.0)
    assert not {one for one in asked(spaced(equal)) if one[1] == "b"}


def test_one_of_two_rings_without_a_height_is_asked_for_it_alone():
    inner = Part(kind="spacer", ring="inner", inner_height_mm=12.0)
    for outer in (Part(kind="spacer", ring="outer", height_mm=12.0), replace(inner, ring="outer",
                  inner_height_mm=None, outer_height_mm=12.0)):  # fmt: skip
        assert not {one for one in asked(spaced(inner, outer)) if one[0].endswith("height_mm")}
    open_ = Part(kind="spacer", ring="outer")
    assert {one for one in asked(spaced(inner, open_)) if one[0] == "height_mm"} == {("height_mm", "c")}


@pytest.mark.parametrize(("maximum_n", "least_n"), [(60_000.0, 32_200.0), (20_000.0, 22_200.0)])
def test_a_roller_is_told_of_the_case_whose_radial_load_is_the_greatest_share(maximum_n, least_n):
    # Fr at most 0.55 Fa of a spherical roller thrust bearing (handbook); 30 000 N run with a rotor of 2 200 N.
    motor = duty(maximum_down_thrust_n=maximum_n, radial_load_n=40_000.0)
    found = finding(stack(thrust_roller(), motor=motor), "radial-load-on-thrust-roller")
    assert found is not None
    assert found.limit == pytest.approx(0.55 * least_n)
    assert found.value == 40_000.0


def test_a_roller_without_a_factor_needs_a_thousandth_of_its_static_rating():
    one = thrust_roller(minimum_load_factor_n=None)
    assert least_load(one, 0.0, None).fixed_n == pytest.approx(0.001 * 4_300_000.0)
    assert least_load(one, 10_000.0, None).fixed_n == pytest.approx(1.8 * 10_000.0)


@pytest.mark.parametrize(("reliability", "told"), [(90.0, False), (95.0, True)])
def test_a_life_at_another_reliability_is_told_where_one_is_asked_for(reliability, told):
    built = stack(*faces("ddu"), motor=duty(reliability_percent=reliability))
    symbols = {line.symbol for line in check_stack(built).working if line.topic == "life"}
    assert ("a1" in symbols) is told
    assert ("Lnmh" in symbols) is told


@pytest.mark.parametrize(
    ("required", "policy", "severity", "limit", "source"),
    [
        (1e7, {}, "warn", 1e7, "life asked for"),
        (None, {"warn_l10h": 5e6}, "warn", 5e6, "shop policy"),
        (None, {"stop_l10h": 1e7, "warn_l10h": 1e7}, "stop", 1e7, "shop policy"),
        (1e8, {"stop_l10h": 1e7, "warn_l10h": 1e7}, "stop", 1e7, "shop policy"),
    ],
)
@pytest.mark.parametrize("is_duty", [False, True])
def test_a_life_is_held_against_the_shop_s_limit_or_the_one_that_was_asked_for(
    required, policy, severity, limit, source, is_duty
):
    values = json.loads(COMPLETE.read_text())
    motor = values["motor"]
    values["policy"] = {**values.get("policy", {}), **policy}
    if required:
        motor["required_l10h"] = required
    if is_duty:
        speed, thrust = motor["rated_speed_rpm"], motor["down_thrust_n"]
        motor["duty"] = [{"share": 1.0, "speed_rpm": speed, "down_thrust_n": thrust}]
    findings = {one.code: one for one in check_stack(parse_stack(values)).findings}
    found = findings["duty-life" if is_duty else "life"]
    assert (found.severity, found.limit) == (severity, limit)
    assert found.source.endswith(source)


@pytest.mark.parametrize(("mounting", "is_asked"), [("horizontal", True), ("vertical", False)])
def test_a_horizontal_motor_is_asked_for_its_radial_load(mounting, is_asked):
    built = stack(*faces("du"), motor=duty(radial_load_n=None, mounting=mounting))
    capacity = next(one for one in check_stack(built).subjects if one.subject == "capacity")
    missing = {one.field for one in capacity.missing}
    assert ("motor.radial_load_n" in missing) is is_asked


def test_a_set_gains_preload_from_the_load_on_that_counts_as_one():
    assert _Change(0.0, UNLOADED_BELOW_N).kind == "gained"
    assert _Change(UNLOADED_BELOW_N, 0.0).kind == "lost"
    assert _Change(0.0, UNLOADED_BELOW_N / 2).kind is None


def test_the_thrust_that_frees_the_first_of_unlike_contacts_is_where_a_second_solver_finds_it():
    own = Grooves(1e6, 1.75, 1.125, 1.34)
    contacts = (
        RisingContact("1", 1, own, 0.012),
        RisingContact("2", -1, own, 0.008),
        RisingContact("3", -1, own, 0.015),
    )

    def balance(net: float) -> float:
        """Return how far the first opposed contact is still pressed when ``net`` presses down. [mm]"""

        def excess(x: float) -> float:
            return sum(one.sign * own.force(one.sign * x + one.overlap)[0] for one in contacts) - net

        return 0.008 - float(brentq(excess, -1.0, 1.0, xtol=1e-14))

    by_solver = brentq(balance, 0.0, 1e5)
    assert rising_freeing_thrust(contacts) == pytest.approx(by_solver, rel=1e-6)


def test_growth_is_worked_out_for_angular_contact_bearings_alone():
    assert growth_modelled(mount_of(stack(*faces("du"))))
    for items in (
        (),
        (deep_groove(),),
        (angular("d"), deep_groove()),
        (angular("d"), thrust_roller("u")),
        (angular("d", spring_force_n=500.0, spring_rate_n_per_mm=900.0, spring_travel_mm=2.0), angular("u")),
        (angular("d"), replace(angular("u"), wide_face=None)),
    ):
        assert not growth_modelled(mount_of(stack(*items)))


def test_a_raceway_no_larger_than_the_bore_grows_by_no_known_share():
    inside = {"contact_angle_deg": 0.0, "ball_diameter_mm": 50.0, "bore_mm": 100.0}
    assert raceway_growth(angular(**inside, pitch_diameter_mm=150.0)) is None
    assert raceway_growth(angular(**inside, pitch_diameter_mm=151.0)) == pytest.approx(100 / 101)


def test_a_set_of_unknown_stiffness_has_an_end_play_but_no_known_preload():
    bare = {"ball_count": None, "ball_diameter_mm": None, "pairing": "universal", "fit_interference_um": 0.0}
    (row,) = check_stack(stack(*faces("du", **bare))).sharing.growth
    assert (row.refs, row.preload_n, row.preload_change_n) == (("1", "2"), None, None)
    assert row.end_play_um == 0.0


def test_an_oil_bath_is_held_against_the_bearings_whose_cage_is_known():
    built = stack(
        angular("d", cage_material="polyamide"), angular("u", cage_material=None), lubrication=oil()
    )
    assert check_stack(built).subjects
    assert guide().bearing.type == "deep_groove_ball"


def test_of_two_sprung_rollers_the_one_that_carries_the_load_is_held_by_the_guides():
    springs = {"spring_force_n": 500.0, "spring_rate_n_per_mm": 900.0, "spring_travel_mm": 2.0}
    built = stack(thrust_roller("d", **springs), thrust_roller("u", **springs), guides=(guide("both"),))
    for direction, ref in (("up", "2"), ("down", "1"), (None, "1")):
        found = _sprung_and_held(mount_of(built), direction)
        assert found is not None
        assert (found[0][0], found[1]) == (ref, ("g1",))


def test_the_working_names_the_thrust_of_each_case():
    motor = duty(maximum_down_thrust_n=40_000.0, up_thrust_n=5_000.0)
    formulas = {line.formula for line in check_stack(stack(*faces("ddu"), motor=motor)).working}
    assert any(one.startswith("P = maximum down thrust + W") for one in formulas)
