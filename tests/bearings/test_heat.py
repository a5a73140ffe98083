"""Heat of a whole stack: cooling, what it lacks, and what the findings say of it."""

from dataclasses import replace

import pytest
from scipy.optimize import brentq

from bearings.engineering.assessment import check_stack
from bearings.engineering.heat import oil_cooling, seat_cooling
from bearings.engineering.quantities import Lubrication
from bearings.engineering.thermal import friction_of, permissible_speed, reference_speed
from bearings.wording import finding_sentence
from tests.bearings.factories import angular, duty, faces, guide, oil, settled, stack, thrust_roller

SIZE = {"static_rating_n": 190_000.0, "f0": 6.6}


def codes(answer, code):
    return [finding for finding in answer.findings if finding.code == code]


def test_oil_takes_away_its_density_times_its_specific_heat():
    # 28.6 W for 1 l/min and 1 K (from memory, unverified); 890 kg/m3, 1930 J/(kg K).
    assert oil_cooling(Lubrication(oil_flow_l_min=1.0, oil_rise_k=1.0)) == pytest.approx(28.6, abs=0.05)
    assert oil_cooling(Lubrication(oil_flow_l_min=1.0)) is None


def test_seats_pass_on_the_heat_flow_of_the_standard_at_its_rise():
    # ISO 15312:2018 (restated from memory, unverified): 0.016 W/mm2 of radial bearings at 50 K; half of
    # it at half the rise.
    one = angular(reference_surface_mm2=40_000.0)
    assert seat_cooling(one) == pytest.approx(640.0)
    assert seat_cooling(one, 25.0) == pytest.approx(320.0)
    assert seat_cooling(thrust_roller(reference_surface_mm2=40_000.0)) == pytest.approx(800.0)
    assert seat_cooling(thrust_roller()) is None


def test_one_bearing_under_thrust_passes_with_oil_cooling_and_fails_on_its_seats():
    # Computed apart from this code: 100 x 215 x 47, 50 kN, nu 20 mm2/s, f0 6.6: 1 087 rpm on the seats, 2 435 rpm
    # with 3 l/min warmed by 15 K as well.
    one = angular(**SIZE)
    friction = friction_of(one, 50_000.0, 0.0, "oil_bath", "vertical")
    seats = seat_cooling(one)
    with_oil = seats + oil_cooling(Lubrication(oil_flow_l_min=3.0, oil_rise_k=15.0))
    assert permissible_speed((friction,), 20.0, seats) == pytest.approx(1_087.0, rel=2e-3)
    assert permissible_speed((friction,), 20.0, with_oil) == pytest.approx(2_435.0, rel=2e-3)


def test_the_speed_ratio_of_the_standard_solves_its_equation():
    # DIN 732: KL fn^(5/3) + KP fn = 1; KL = KP = 1 gives 0.58768, and doubled f0 gives 0.7017 of one bearing.
    assert brentq(lambda fn: fn ** (5 / 3) + fn - 1, 0.1, 1) == pytest.approx(0.58768, abs=1e-5)
    one = angular(static_rating_n=190_000.0)
    reference = reference_speed(one)
    doubled = reference_speed(replace(one, f0r=6.0))
    assert doubled / reference == pytest.approx(0.7017, abs=1e-4)


def known(**values):
    return oil(ambient_c=30.0, **values)


def judged(lubrication):
    """Return a set of which speed, preload and oil are known, so that its heat can be judged."""
    values = {"pair_preload_n": 0.0, "reference_speed_rpm": None}
    motor = duty(synchronous_speed_rpm=1_780.0)
    return settled(
        stack(*faces("ddu", **values), motor=motor, lubrication=replace(lubrication, viscosity_index=95.0))
    )


def heat_of(answer):
    (result,) = [one for one in answer.subjects if one.subject == "heat"]
    return result


def test_a_bath_with_known_surroundings_is_estimated_and_never_shown_as_given():
    answer = check_stack(stack(*faces("ddu"), lubrication=known()))
    thermal = answer.thermal
    assert thermal.cooling.basis == "estimated"
    assert thermal.cooling.available_w == pytest.approx(3 * seat_cooling(angular(), 40.0))
    assert thermal.permissible_rpm is None
    assert thermal.heat_removed_w is None
    assert thermal.estimated_permissible_rpm is not None


def test_the_estimated_speed_is_where_friction_equals_seats_and_oil():
    values = known(method="oil_circulating", oil_flow_l_min=4.0, oil_rise_k=10.0, external_heat_w=100.0)
    thermal = check_stack(stack(*faces("ddu"), lubrication=values)).thermal
    at_that_speed = replace(duty(), rated_speed_rpm=thermal.estimated_permissible_rpm)
    again = check_stack(stack(*faces("ddu"), motor=at_that_speed, lubrication=values)).thermal
    assert again.friction_w == pytest.approx(thermal.cooling.available_w, rel=1e-9)
    assert thermal.cooling.available_w == pytest.approx(
        thermal.cooling.seats_w + thermal.cooling.oil_w - 100.0
    )


def test_given_heat_rules_over_an_estimate():
    thermal = check_stack(stack(*faces("ddu"), lubrication=known(heat_removed_w=2_500.0))).thermal
    assert thermal.cooling.basis == "given"
    assert thermal.cooling.available_w == 2_500.0
    assert thermal.estimated_permissible_rpm is None
    assert thermal.permissible_rpm is not None


def test_circulating_oil_without_its_flow_is_not_estimated():
    answer = check_stack(stack(*faces("d"), lubrication=known(method="oil_circulating", oil_flow_l_min=3.0)))
    assert answer.thermal.cooling.basis is None
    assert heat_of(answer).verdict == "not_proven"
    assert ("lubrication.oil_rise_k", None) in heat_of(answer).missing


def test_surroundings_that_nobody_gave_are_judged_over_their_range():
    # About 0.9 kW of friction, and 28.6 W for 1 l/min and 1 K: 43 l/min K take all of it and more away.
    open_one = check_stack(stack(*faces("d"), lubrication=oil()))
    flushed = check_stack(stack(*faces("d"), lubrication=oil(oil_flow_l_min=3.0, oil_rise_k=15.0)))
    assert heat_of(open_one).verdict == "not_proven"
    assert ("lubrication.ambient_c", None) in heat_of(open_one).missing
    assert heat_of(flushed).verdict == "ok"


def test_what_the_set_needs_is_told_with_its_uncertainty_and_the_flow_that_brings_it():
    values = known(method="oil_circulating", oil_flow_l_min=1.0, oil_rise_k=10.0)
    need = check_stack(stack(*faces("ddu"), lubrication=values)).thermal.need
    assert need.low_w == pytest.approx(0.75 * need.friction_w)
    assert need.high_w == pytest.approx(1.25 * need.friction_w)
    assert oil_cooling(replace(values, oil_flow_l_min=need.oil_flow_l_min)) == pytest.approx(
        need.beyond_seats_w
    )


def test_heat_that_nothing_takes_away_warns_and_never_stops():
    answer = check_stack(judged(known(heat_removed_w=200.0)))
    (finding,) = codes(answer, "heat-balance")
    assert finding.severity == "warn"
    assert "Add oil cooling" in finding_sentence(finding)


def test_within_the_uncertainty_it_is_a_note_and_beyond_it_nothing():
    plain = check_stack(judged(known())).thermal.need
    within = check_stack(judged(known(heat_removed_w=plain.friction_w * 1.1)))
    ample = check_stack(judged(known(heat_removed_w=plain.friction_w * 1.3)))
    (finding,) = codes(within, "heat-balance")
    assert finding.severity == "note"
    assert "within that range" in finding_sentence(finding)
    assert not codes(ample, "heat-balance")


def test_an_estimate_says_that_heat_from_outside_was_not_counted():
    hot = known(temperature_c=45.0)
    (finding,) = codes(check_stack(judged(hot)), "heat-balance")
    assert "is not included" in finding_sentence(finding)


def test_surroundings_as_hot_as_the_oil_allow_no_speed():
    answer = check_stack(stack(*faces("d"), lubrication=oil(ambient_c=70.0, temperature_c=70.0)))
    assert answer.thermal.estimated_permissible_rpm == 0.0


@pytest.mark.parametrize(("factor", "told"), [(0.84, True), (0.86, False), (1.14, False), (1.16, True)])
def test_printed_and_computed_reference_speed_more_than_15_per_cent_apart_are_noted(factor, told):
    computed = reference_speed(angular())
    one = angular(reference_speed_rpm=computed * factor)
    found = codes(check_stack(stack(one)), "reference-speed-differs")
    assert [finding.severity for finding in found] == (["note"] if told else [])


def test_the_bearing_that_loses_most_for_its_surface_is_named():
    answer = check_stack(stack(*faces("ddu"), lubrication=known()))
    losses = {row.ref: row.friction_w / row.surface_mm2 for row in answer.thermal.bearings}
    assert answer.thermal.hottest == max(losses, key=losses.get)


def test_a_thrust_roller_without_washers_leaves_its_seats_unchecked():
    answer = check_stack(stack(thrust_roller(), guides=(guide(),), lubrication=known()))
    assert answer.thermal.cooling.basis is None
    assert heat_of(answer).verdict == "not_proven"
    assert "1" in {ref for _, ref in heat_of(answer).missing}


def test_reference_speeds_that_differ_are_one_line_with_the_one_that_is_furthest_apart():
    pair = (angular(reference_speed_rpm=2_500.0), angular(reference_speed_rpm=1_500.0))
    (one,) = [one for one in check_stack(stack(*pair)).findings if one.code == "reference-speed-differs"]
    assert (one.ref, one.refs, one.limit) == ("2", ("2", "1"), 1_500.0)
