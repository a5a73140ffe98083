import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bearings.engineering.assessment import check_stack
from bearings.engineering.quantities import Bearing, Guide
from bearings.wording import finding_sentence
from tests.bearings.factories import angular, deep_groove, duty, guide, stack, thrust_roller

SPRINGS = {"spring_force_n": 8_000.0, "spring_rate_n_per_mm": 2_000.0, "spring_travel_mm": 1.0}


CYLINDRICAL = Bearing(
    type="cylindrical_roller", bore_mm=90.0, outside_diameter_mm=190.0, height_mm=43.0, designation="NU 318"
)


def answer(*guides, motor=None, **springs):
    roller = thrust_roller("d", **(SPRINGS | springs))
    motor = motor or {"rotor_weight_n": 0.0, "down_thrust_n": 60_000.0, "up_thrust_n": 2_000.0}
    return check_stack(stack(roller, guides=guides, motor=duty(**motor)))


def cases(found):
    (row,) = found.sharing.springs
    return {case.case: case for case in row.cases}


def test_bearing_and_guide_at_rest_lifted_and_under_thrust():
    # Without thrust both carry the springs; lifted by 2 kN the guide carries 2 kN more; under thrust the guide is
    # free and the springs are solid (statics).
    found = cases(answer(guide("up")))

    assert (found["uncoupled"].axial_n, found["uncoupled"].guide_n) == (8_000.0, 8_000.0)
    assert found["up_thrust"].guide_n - found["up_thrust"].axial_n == pytest.approx(2_000.0)
    assert (found["running"].axial_n, found["running"].guide_n) == (60_000.0, 0.0)
    assert found["running"].solid
    assert not found["uncoupled"].solid
    assert (found["uncoupled"].compression_mm, found["running"].compression_mm) == (0.0, 1.0)


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 20_000), st.floats(100, 10_000), st.floats(0, 5), st.floats(-20_000, 100_000))
def test_springs_are_in_balance_with_what_they_carry(force, rate, travel, thrust):
    found = answer(
        guide("up"),
        motor={"rotor_weight_n": 0.0, "down_thrust_n": thrust},
        spring_force_n=force,
        spring_rate_n_per_mm=rate,
        spring_travel_mm=travel,
    )
    case = cases(found)["running"]

    assert case.axial_n - case.guide_n == pytest.approx(thrust, abs=1e-6)
    assert 0 <= case.compression_mm <= travel
    pressed = force + rate * case.compression_mm
    assert case.solid or pressed == pytest.approx(case.axial_n, rel=1e-9, abs=1e-6)
    assert found.sharing.springs[0].solid_from_n == pytest.approx(force + rate * travel)


def test_what_is_not_known_of_springs_is_null_and_named():
    found = answer(guide("up"), spring_rate_n_per_mm=None)

    assert cases(found)["running"].compression_mm is None
    assert cases(found)["running"].solid is None
    springs = {one.subject: one for one in found.subjects}["springs"]
    assert springs.verdict == "not_proven"
    assert springs.missing == (("spring_rate_n_per_mm", "1"),)
    plain = check_stack(stack(thrust_roller("d")))
    assert plain.sharing.springs == ()
    assert not {one.subject: one for one in plain.subjects}["springs"].applies


def test_the_guide_is_told_with_its_worst_case_life_and_speed():
    (row,) = answer(guide("up")).sharing.springs
    (held,) = row.held

    assert (held.ref, held.case, held.axial_n) == ("g1", "up_thrust", 10_000.0)
    assert held.permissible_rpm == 5_000.0
    # ISO 281: deep groove under thrust alone, P = Y Fa with Fa/C0 = 0.093: between Y = 1.71 and 1.45.
    assert (143_000 / (1.71 * 10_000)) ** 3 < held.l10h * 60 * 1_780 / 1e6 < (143_000 / (1.45 * 10_000)) ** 3


def severity(found, code):
    return next((one.severity for one in found.findings if one.code == code), None)


def test_solid_springs_are_usual_under_thrust_and_not_under_the_rotor_alone():
    assert severity(answer(guide("up")), "spring-solid") == "note"
    heavy = {"rotor_weight_n": 12_000.0, "down_thrust_n": 60_000.0}
    assert severity(answer(guide("up"), motor=heavy), "spring-solid") == "warn"
    assert severity(answer(guide("up"), spring_travel_mm=100.0), "spring-solid") is None


def test_springs_that_let_the_washers_part_stop_the_stack():
    lifted = {"rotor_weight_n": 0.0, "down_thrust_n": 60_000.0, "up_thrust_n": 9_000.0}

    assert severity(answer(motor=lifted), "spring-too-weak") == "stop"
    enough = answer(motor=lifted, spring_force_n=12_000.0, minimum_load_factor_n=100.0)
    assert severity(enough, "spring-too-weak") is None
    short = answer(motor=lifted, spring_force_n=9_500.0, minimum_load_factor_n=500.0)
    assert severity(short, "spring-too-weak") == "warn"
    held = answer(guide("up"), motor=lifted, minimum_load_factor_n=500.0)
    assert severity(held, "spring-too-weak") == "note"
    weak = answer(guide("up"), motor=lifted, minimum_load_factor_n=5_000.0)
    assert severity(weak, "spring-too-weak") == "warn"


def test_a_deep_groove_guide_bears_half_of_its_static_rating():
    # Rule for pure thrust (common practice, no source): 0.5 x 107 000 N.
    def guided(up):
        motor = {"rotor_weight_n": 0.0, "down_thrust_n": 60_000.0, "up_thrust_n": up}
        return severity(answer(guide("up"), motor=motor), "groove-thrust-limit")

    assert guided(45_000.0) is None
    assert guided(46_000.0) == "warn"


def sentences(found, code):
    return [finding_sentence(one).replace("\u00a0", " ") for one in found.findings if one.code == code]


def test_a_cylindrical_guide_is_said_not_to_hold_up_thrust():
    none = answer(Guide(bearing=CYLINDRICAL, carries="none"))
    (sentence,) = sentences(none, "guide-without-thrust")
    assert "cylindrical roller bearing" in sentence
    assert "holds no upthrust" in sentence
    claimed = answer(Guide(bearing=CYLINDRICAL, carries="up", end_play_um=0.0))
    assert severity(claimed, "guide-without-thrust") == "stop"
    assert "carries none" in sentences(claimed, "guide-without-thrust")[0]


def test_a_guide_that_looks_the_wrong_way_is_told_of():
    turned = Guide(bearing=angular("d"), carries="up", end_play_um=0.0)
    right = Guide(bearing=angular("u"), carries="up", end_play_um=0.0)

    assert severity(answer(turned), "guide-without-thrust") == "stop"
    assert "points the other way" in sentences(answer(turned), "guide-without-thrust")[0]
    assert severity(answer(right), "guide-without-thrust") is None
    assert severity(answer(Guide(bearing=deep_groove(), carries="both")), "guide-without-thrust") is None
