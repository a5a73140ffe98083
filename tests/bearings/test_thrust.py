"""The thrust sheet: published formulas, what follows from more head, and what stays unknown."""

from __future__ import annotations

from dataclasses import fields, replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from bearings.engineering.thrust import result_from_values, result_values, work_out_thrust
from bearings.engineering.thrust_inputs import ThrustInputs
from bearings.engineering.thrust_questions import LBF_PER_FT_N_PER_M, factor_circle_mm, questions_about
from bearings.engineering.thrust_shaft import runaway_ratio, shaft_stretch_mm, shaft_weight_n

LBF, FOOT, INCH = constants.lbf, constants.foot, constants.inch  # exact definitions, from scipy (CODATA)

FULL = ThrustInputs(
    thrust_factor_n_per_m=9.5 * LBF / FOOT,
    head_duty_m=320 * FOOT,
    head_shut_off_m=420 * FOOT,
    specific_gravity=1.0,
    shaft_diameter_mm=1.5 * INCH * 1000,
    shaft_length_m=200 * FOOT,
    impeller_weight_n=180 * LBF,
    suction_pressure_pa=0.0,
    pump_up_thrust_n=1500 * LBF,
    static_head_m=280 * FOOT,
    specific_speed=70.0,
    operating_speed_rpm=1780.0,
    ratchet=False,
    plate_down_thrust_n=8000 * LBF,
    plate_up_thrust_n=2000 * LBF,
    plate_meaning="external",
    rotor_weight_n=1200 * LBF,
)


def test_a_steel_shaft_weighs_what_the_trade_rule_says():
    # 2.67 d² pounds for each foot, d in inches: arithmetic from the density of steel
    pounds = shaft_weight_n(1.5 * INCH * 1000, FOOT) / LBF
    assert pounds == pytest.approx(6.01, abs=0.005)
    assert pounds == pytest.approx(2.67 * 1.5**2, rel=0.002)


def test_down_thrust_is_factor_times_head_and_the_weights():
    # arithmetic: 9.5 x 320 + 200 x 6.01 + 180 = 4423 lbf
    result = work_out_thrust(FULL)
    assert (result.figure("down_duty").value or 0) / LBF == pytest.approx(4423, abs=0.5)
    assert (result.figure("hydraulic_duty").value or 0) / LBF == pytest.approx(3040, rel=1e-12)


@pytest.mark.parametrize("stages", [1, 5])
def test_the_factor_says_the_same_as_the_published_formula_with_areas(stages):
    # ANSI/HI 2.3, as a trade magazine restated it in November 2010: thrust in N is
    # C ρ g H A_df B / 10⁶ + W, H the head of one stage, B stages, A_df in mm²; C 0.8, ring 150 mm, shaft 40 mm chosen.
    area, head, weight, density, gravity = pi / 4 * (150**2 - 40**2), 21.0, 3100.0, 1025.0, constants.g
    published = 0.8 * density * gravity * head * area * stages / 1e6 + weight
    sheet = work_out_thrust(
        ThrustInputs(
            thrust_factor_n_per_m=0.8 * 1000 * gravity * area / 1e6,
            head_duty_m=head * stages,
            specific_gravity=density / 1000,
            shaft_weight_n=3000.0,
            impeller_weight_n=100.0,
            suction_pressure_pa=0.0,
        )
    )
    assert sheet.figure("down_duty").value == pytest.approx(published, rel=1e-12)


def test_the_total_carries_the_rotor_and_the_plate_is_read_as_a_person_says():
    # arithmetic: 8000 external + 1200 rotor = 9200 lbf
    heavy = replace(FULL, thrust_factor_n_per_m=0.0001, shaft_diameter_mm=None, shaft_weight_n=0.0,
                    impeller_weight_n=8000 * LBF)  # fmt: skip
    total = work_out_thrust(heavy).figure("total_duty")
    assert (total.value or 0) / LBF == pytest.approx(9200, abs=0.1)
    as_total = work_out_thrust(replace(FULL, plate_meaning="total"))
    assert (as_total.figure("plate_external").value or 0) / LBF == pytest.approx(6800)
    unsaid = work_out_thrust(replace(FULL, plate_meaning=None))
    assert unsaid.figure("plate_external").missing == ("plate_meaning",)
    assert unsaid.verdict("down_duty").verdict == "not_checked"


def test_up_thrust_takes_the_plate_then_the_maker_then_a_fallback_that_was_asked_for():
    figures = work_out_thrust(FULL)
    assert (figures.figure("up_thrust").value or 0) / LBF == pytest.approx(2000)
    by_maker = work_out_thrust(replace(FULL, plate_up_thrust_n=None, up_fallback_asked=True))
    assert (by_maker.figure("up_thrust").value or 0) / LBF == pytest.approx(1500)
    assert not by_maker.figure("up_thrust").fallback
    nothing = replace(FULL, plate_up_thrust_n=None, pump_up_thrust_n=None)
    assert work_out_thrust(nothing).figure("up_thrust").missing == ("plate_up_thrust_n", "pump_up_thrust_n")
    # 30 % of 8000 is 2400, less 1200 of rotor 1200 on the guide: common practice, no source
    asked = work_out_thrust(replace(nothing, up_fallback_asked=True))
    up, net = asked.figure("up_thrust"), asked.figure("net_on_guide")
    assert ((up.value or 0) / LBF, (net.value or 0) / LBF) == (pytest.approx(2400), pytest.approx(1200))
    assert up.fallback
    assert net.fallback
    assert up.source == "fallback, common practice, no source"


def test_a_fallback_can_warn_but_not_approve():
    asked = replace(FULL, plate_up_thrust_n=None, up_fallback_asked=True)
    within = work_out_thrust(asked).verdict("up")
    assert (within.verdict, within.reason) == ("not_checked", "fallback")
    beyond = work_out_thrust(replace(asked, pump_up_thrust_n=2500 * LBF)).verdict("up")
    assert (beyond.verdict, beyond.fallback) == ("fail", True)


def test_a_shaft_stretches_as_hookes_law_says():
    # common practice, no source: E = 29 x 10⁶ psi: 10 000 x 2400 / (1.767 x 29 x 10⁶) = 0.468 in
    stretch = shaft_stretch_mm(10_000 * LBF, 200 * FOOT, 1.5 * INCH * 1000)
    assert stretch / (INCH * 1000) == pytest.approx(0.468, abs=0.0005)


@pytest.mark.parametrize(("ns", "ratio"), [(20, 1.25), (40, 1.25), (70, 1.625), (100, 2.0), (250, 2.0)])
def test_a_pump_runs_away_backwards_by_its_specific_speed(ns, ratio):
    # common practice, no source: 1.25 for radial (40), 2.0 for axial (100), and the line between
    assert runaway_ratio(ns) == pytest.approx(ratio)


def test_reverse_speed_falls_with_the_root_of_the_head_and_is_nothing_with_a_ratchet():
    quarter = replace(FULL, static_head_m=FULL.head_duty_m / 4)  # type: ignore[operator]
    # affinity: a quarter of the head, half of the speed
    assert work_out_thrust(quarter).figure("reverse_speed").value == pytest.approx(1780 * 1.625 / 2)
    held = work_out_thrust(replace(quarter, ratchet=True))
    assert held.figure("reverse_speed").value == 0
    assert "inspect" in held.figure("reverse_speed").formula
    assert held.figure("runaway_speed").value == pytest.approx(1780 * 1.625 / 2)


def test_the_pump_makers_reverse_speed_comes_before_the_estimate():
    maker = replace(FULL, pump_reverse_speed_rpm=2000.0)
    assert work_out_thrust(maker).figure("runaway_speed").value == 2000
    scaled = work_out_thrust(replace(maker, pump_reverse_head_m=FULL.static_head_m, static_head_m=4.0))
    assert scaled.figure("runaway_speed").value == pytest.approx(2000 * (4 / (280 * FOOT)) ** 0.5)


def test_pressure_at_the_suction_lifts_the_shaft():
    # statics: 1 MPa on a circle of 50 mm is 1963.5 N
    lifted = work_out_thrust(replace(FULL, suction_pressure_pa=1e6, suction_diameter_mm=50.0))
    before = work_out_thrust(FULL).figure("down_duty").value or 0
    assert before - (lifted.figure("down_duty").value or 0) == pytest.approx(1963.495, abs=0.001)
    half = work_out_thrust(replace(FULL, suction_pressure_pa=1e6))
    assert half.figure("down_duty").missing == ("suction_diameter_mm",)
    unsaid = work_out_thrust(replace(FULL, suction_pressure_pa=None))
    assert unsaid.figure("down_duty").missing == ("suction_pressure_pa",)
    assert unsaid.verdict("down_duty").verdict == "not_checked"


def test_a_pump_that_lifts_more_than_the_plate_says_is_reckoned_with_as_it_lifts():
    # The bearings feel what the pump does (statics); the plate's 2000 lbf is then exceeded.
    result = work_out_thrust(replace(FULL, pump_up_thrust_n=2500 * LBF))
    assert (result.figure("up_thrust").value or 0) / LBF == pytest.approx(2500)
    assert (result.figure("net_on_guide").value or 0) / LBF == pytest.approx(1300)
    assert result.verdict("up").verdict == "fail"
    assert (work_out_thrust(FULL).figure("up_thrust").value or 0) / LBF == pytest.approx(2000)


def test_a_pump_that_lifts_its_shaft_while_it_runs_fails_whatever_the_plate_says():
    upward = work_out_thrust(
        replace(FULL, suction_pressure_pa=9e6, suction_diameter_mm=90.0, plate_meaning=None)
    )
    verdict = upward.verdict("down_duty")
    assert (verdict.verdict, verdict.reason) == ("fail", "upward")


def test_with_nothing_known_every_figure_is_unknown_and_nothing_passes():
    result = work_out_thrust(ThrustInputs())
    assert not any(one.known for one in result.figures)
    assert all(one.missing for one in result.figures)
    assert {one.verdict for one in result.verdicts} == {"not_checked"}


NEEDED = {
    "thrust_factor_n_per_m": {"down_duty", "down_worst", "total_duty", "reverse_thrust", "stretch_duty"},
    "head_duty_m": {"down_duty", "down_worst", "total_duty", "runaway_speed"},
    "head_shut_off_m": {"down_shut_off", "down_worst", "total_worst"},
    "specific_gravity": {"down_duty", "down_shut_off", "reverse_thrust"},
    "shaft_diameter_mm": {"shaft_weight", "rotating_weight", "down_duty", "stretch_duty"},
    "impeller_weight_n": {"rotating_weight", "down_duty"},
    "rotor_weight_n": {"total_duty", "net_on_guide"},
    "specific_speed": {"runaway_speed", "reverse_speed"},
    "static_head_m": {"runaway_speed", "reverse_thrust"},
    "plate_down_thrust_n": {"plate_external"},
}


@pytest.mark.parametrize("name", sorted(NEEDED))
def test_what_is_missing_is_named_wherever_it_is_needed(name):
    result = work_out_thrust(replace(FULL, **{name: None}))
    for figure in NEEDED[name]:
        assert result.figure(figure).value is None
        assert name in result.figure(figure).missing


factors = st.floats(1, 2000)
heads = st.floats(1, 600)
gravities = st.floats(0.5, 2)


@given(factors, heads, heads, gravities, gravities)
def test_thrust_never_falls_with_head_or_specific_gravity(factor, one, other, light, heavy):
    low, high = sorted((one, other))
    thin, thick = sorted((light, heavy))
    base = replace(FULL, thrust_factor_n_per_m=factor, head_duty_m=low, specific_gravity=thin)
    least = work_out_thrust(base).figure("down_duty").value or 0
    for more in (replace(base, head_duty_m=high), replace(base, specific_gravity=thick)):
        assert (work_out_thrust(more).figure("down_duty").value or 0) >= least


@given(
    st.sets(st.sampled_from([one.name for one in fields(ThrustInputs) if one.name != "up_fallback_asked"]))
)
def test_taking_data_away_never_turns_an_unknown_into_a_pass(taken):
    before = work_out_thrust(FULL)
    after = work_out_thrust(replace(FULL, **dict.fromkeys(taken)))
    for verdict in after.verdicts:
        assert verdict.verdict in {before.verdict(verdict.name).verdict, "not_checked"}
    for figure in after.figures:
        assert figure.known or figure.missing
    assert result_from_values(result_values(after)) == after


def ask(**changes) -> list[tuple[str, str]]:
    known = replace(FULL, **changes)
    return [(one.code, one.reason) for one in questions_about(known, work_out_thrust(known))]


def test_a_full_and_likely_sheet_asks_nothing():
    assert ask() == []


def test_a_factor_in_the_wrong_unit_is_asked_about():
    # 1 lbf/ft = 14.594 N/m (NIST SP 811 by way of scipy's pound-force and foot)
    assert pytest.approx(constants.lbf / constants.foot, rel=1e-12) == LBF_PER_FT_N_PER_M
    as_newtons = 20.0  # pounds-force for each foot, taken for newtons for each metre
    assert ask(thrust_factor_n_per_m=as_newtons, shaft_diameter_mm=60.0) == [("factor-small", "shaft")]
    assert ask(thrust_factor_n_per_m=as_newtons, shaft_diameter_mm=None) == [("factor-small", "plate")]
    assert ask(thrust_factor_n_per_m=9.5, shaft_diameter_mm=None) == [("factor-small", "usual")]
    as_pounds = 9.5 * LBF_PER_FT_N_PER_M**2  # newtons for each metre, taken for pounds-force for each foot
    assert ask(thrust_factor_n_per_m=as_pounds) == [("factor-large", "plate")]
    assert ask(thrust_factor_n_per_m=4000.0) == [("factor-large", "usual")]


def test_a_factor_is_usual_from_10_to_3000_newtons_a_metre():
    # Both ends are common practice, no source.
    alone = {"shaft_diameter_mm": None, "plate_down_thrust_n": None}
    for usual in (10.0, 3000.0):
        assert not [one for one in ask(thrust_factor_n_per_m=usual, **alone) if one[0].startswith("factor")]
    assert ("factor-small", "usual") in ask(thrust_factor_n_per_m=9.99, **alone)
    assert ("factor-large", "usual") in ask(thrust_factor_n_per_m=3000.01, **alone)


def test_the_circle_of_a_factor_is_where_the_head_would_press():
    # statics: 1 m of water on a circle of 1 m² presses with 9806.65 N
    assert factor_circle_mm(9806.65) == pytest.approx(1000 * (4 / pi) ** 0.5)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"head_shut_off_m": 90.0}, "shut-off-below-duty"),
        ({"static_head_m": 130.0}, "static-above-pump"),
        ({"plate_up_thrust_n": 9000 * LBF}, "plate-up-above-down"),
        ({"pump_up_thrust_n": 6000 * LBF}, "pump-up-above-down"),
        ({"pump_up_thrust_n": 9000 * LBF, "head_duty_m": None}, "pump-up-above-down"),
        ({"rotor_weight_n": 9000 * LBF}, "rotor-above-plate"),
    ],
)
def test_what_is_unlikely_is_asked_about(changes, code):
    assert [name for name, _reason in ask(**changes)] == [code]


@pytest.mark.parametrize("value", [-1.0, 0.0, float("nan"), float("inf")])
def test_an_impossible_head_is_refused(value):
    with pytest.raises(ValueError, match="head_duty_m"):
        ThrustInputs(head_duty_m=value)


def test_a_weight_of_nothing_is_a_weight():
    assert work_out_thrust(replace(FULL, impeller_weight_n=0.0)).figure("rotating_weight").known
