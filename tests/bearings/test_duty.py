import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bearings.engineering.assessment import check_stack
from bearings.engineering.duty import combined_life, equivalent_load
from bearings.engineering.quantities import DutyPoint
from bearings.wording import finding_sentence
from tests.bearings.factories import duty, faces, guide, settled, stack, thrust_roller


def part(share, thrust, speed=1_780.0):
    return DutyPoint(share=share, speed_rpm=speed, down_thrust_n=thrust)


TANDEM = faces("dd")


def answer(*parts, items=TANDEM, **values):
    return check_stack(settled(stack(*items, motor=duty(duty=tuple(parts), **values))))


def test_lives_combine_by_their_shares():
    # Half the time at 10 000 h and half at 30 000 h: 1 / (0.5/10 000 + 0.5/30 000) = 15 000 h (linear damage rule).
    assert combined_life([(0.5, 10_000.0), (0.5, 30_000.0)]) == pytest.approx(15_000.0)
    assert combined_life([(0.5, 10_000.0), (0.5, None)]) is None
    assert combined_life([]) is None


def test_the_cubic_mean_of_two_loads():
    # (0.5 x 1^3 + 0.5 x 2^3)^(1/3) = 4.5^(1/3) (cubic mean of ball bearings, ISO 281 exponent 3).
    assert equivalent_load([(0.5, 1_000.0), (0.5, 2_000.0)], 3.0) == pytest.approx(1_000.0 * 4.5 ** (1 / 3))


def test_one_part_is_the_life_of_the_running_case():
    found = answer(part(1.0, 30_000.0))

    assert found.sharing.duty.stack_l10h == pytest.approx(found.life.stack_l10h)
    assert found.sharing.duty.stack_l10mh == pytest.approx(found.life.stack_l10mh)
    assert found.sharing.duty.bearings[0].equivalent_load_n == pytest.approx(
        found.life.bearings[0].equivalent_load_n
    )


PARTS = st.lists(
    st.tuples(st.integers(1, 9), st.floats(2_000, 60_000), st.floats(300, 1_800)), min_size=1, max_size=5
)


@settings(max_examples=60, deadline=None)
@given(PARTS)
def test_the_life_over_a_duty_lies_between_the_lives_of_its_parts(parts):
    total = sum(weight for weight, _, _ in parts)
    found = answer(*(part(weight / total, thrust, speed) for weight, thrust, speed in parts)).sharing.duty
    lives = [row.stack_l10h for row in found.rows]

    assert min(lives) * (1 - 1e-9) <= found.stack_l10h <= max(lives) * (1 + 1e-9)


@settings(max_examples=60, deadline=None)
@given(PARTS)
def test_the_equivalent_load_at_the_mean_speed_gives_the_same_life(parts):
    total = sum(weight for weight, _, _ in parts)
    found = answer(*(part(weight / total, thrust, speed) for weight, thrust, speed in parts)).sharing.duty
    one = found.bearings[0]

    # ISO 281: (C / P)^3 million revolutions.
    assert one.l10h == pytest.approx(
        (216_000.0 / one.equivalent_load_n) ** 3 * 1e6 / (60 * found.mean_speed_rpm), rel=1e-9
    )


@settings(max_examples=30, deadline=None)
@given(PARTS)
def test_of_rollers_the_equivalent_load_at_the_mean_speed_gives_the_same_life(parts):
    total = sum(weight for weight, _, _ in parts)
    points = [part(weight / total, 10 * thrust, speed) for weight, thrust, speed in parts]
    found = answer(*points, items=(thrust_roller("d"),)).sharing.duty
    one = found.bearings[0]

    # ISO 281: (C / P)^(10/3) million revolutions; the linear damage rule with that exponent gives P.
    assert one.l10h == pytest.approx(
        (1_400_000.0 / one.equivalent_load_n) ** (10 / 3) * 1e6 / (60 * found.mean_speed_rpm), rel=1e-9
    )


@settings(max_examples=40, deadline=None)
@given(PARTS, st.randoms())
def test_neither_order_nor_splitting_of_parts_changes_the_life(parts, rng):
    total = sum(weight for weight, _, _ in parts)
    points = [part(weight / total, thrust, speed) for weight, thrust, speed in parts]
    halves = [part(one.share / 2, one.down_thrust_n, one.speed_rpm) for one in points for _ in range(2)]
    rng.shuffle(halves)

    assert answer(*halves).sharing.duty.stack_l10h == pytest.approx(answer(*points).sharing.duty.stack_l10h)


def test_a_part_that_unloads_a_bearing_does_not_wear_it():
    found = answer(
        part(0.5, 30_000.0), part(0.5, -5_000.0), items=faces("du", pair_preload_n=500.0)
    ).sharing.duty
    lives = {row.ref: row.l10h for row in found.bearings}
    running = check_stack(stack(*faces("du", pair_preload_n=500.0))).life.bearings

    assert lives["1"] == pytest.approx(running[0].l10h * 2, rel=1e-3)
    assert set(lives) == {"1", "2"}


def test_a_bearing_that_only_a_part_of_no_time_loads_is_not_told_as_worn():
    found = answer(
        part(1.0, 30_000.0), part(0.0, -5_000.0), items=faces("du", pair_preload_n=500.0)
    ).sharing.duty

    assert [row.ref for row in found.bearings] == ["1"]


def life_of(found):
    (result,) = [one for one in found.subjects if one.subject == "life"]
    return result


def test_a_part_that_nothing_carries_leaves_the_life_open():
    found = answer(part(0.9, 30_000.0), part(0.1, -9_000.0))

    assert found.sharing.duty.stack_l10h is None
    assert found.sharing.duty.rows[1].carried is False
    assert life_of(found).verdict == "not_proven"


@pytest.mark.parametrize(("thrust", "words"), [(-9_000.0, "net upthrust"), (30_000.0, "net downthrust")])
def test_a_part_that_nothing_carries_stops_the_stack(thrust, words):
    # Statics: a bearing carries the way its wide face looks, and no other.
    items = faces("dd") if thrust < 0 else faces("uu")
    found = answer(part(0.9, -thrust), part(0.1, thrust), part(0.0, thrust), items=items)

    (one,) = [one for one in found.findings if one.code == "duty-not-carried"]
    assert (one.severity, one.params["part"]) == ("stop", 2)
    assert one.value == abs(found.sharing.duty.rows[1].net_axial_n)
    assert words in finding_sentence(one)
    assert "part 2" in finding_sentence(one)


@pytest.mark.parametrize(("speed", "severity"), [(1_900.0, None), (2_340.0, "warn"), (2_700.0, "stop")])
def test_a_part_faster_than_the_motor_is_held_against_the_permissible_speed(speed, severity):
    # Margin = permissible / speed - 1: a tandem pair of 2 700 rpm may run at 0.9 of that, 2 430 rpm.
    items = faces("dd", limiting_speed_rpm=2_700.0)
    found = answer(part(0.5, 9_000.0), part(0.5, 9_000.0, speed), part(0.0, 9_000.0, 9_000.0), items=items)

    told = [one for one in found.findings if one.code == "duty-speed"]
    assert [one.severity for one in told] == ([] if severity is None else [severity])
    for one in told:
        assert one.value == pytest.approx(2_430.0 / speed - 1)
        assert "duty part 2" in finding_sentence(one)


def test_without_rotor_weight_the_duty_is_not_known():
    found = answer(part(1.0, 30_000.0), rotor_weight_n=None)

    assert found.sharing.duty.stack_l10h is None


@pytest.mark.parametrize("heavy", [2_000_000.0, -2_000_000.0])
def test_a_part_heavier_than_every_case_is_held_against_the_static_rating(heavy):
    # ISO 76 at 40 degrees: P0 = 0.26 Fa; two bearings of 208 kN bear 1.6 MN of thrust at a safety of 1.
    found = answer(part(0.9, 20_000.0), part(0.1, heavy), items=faces("dduu"))

    (one,) = [
        one
        for one in found.findings
        if one.code == "static-safety" and one.ref == ("1" if heavy > 0 else "3")
    ]
    assert (one.severity, one.params["part"]) == ("stop", 2)
    assert "part 2" in finding_sentence(one)
    idle = answer(part(1.0, 20_000.0), part(0.0, heavy), items=faces("dduu"))
    assert "static-safety" not in {one.code for one in idle.findings}


def test_an_unknown_rating_leaves_the_life_open():
    found = answer(part(1.0, 30_000.0), items=faces("dd", dynamic_rating_n=None))

    assert found.sharing.duty.stack_l10h is None
    assert life_of(found).verdict == "not_proven"
    assert ("dynamic_rating_n", "1") in life_of(found).missing


def test_a_short_life_over_the_duty_is_stopped_and_a_long_one_is_not_told_of():
    def severity(thrust, **values):
        found = answer(part(0.5, thrust), part(0.5, 5_000.0), **values).findings
        return next((one.severity for one in found if one.code == "duty-life"), None)

    assert severity(120_000.0) == "stop"
    assert severity(30_000.0) is None
    assert severity(30_000.0, required_l10h=1e6) == "warn"


def test_a_guide_that_a_part_loads_is_worn_too():
    items = (thrust_roller("d", spring_force_n=6_000.0),)
    found = check_stack(
        stack(*items, guides=(guide("up"),), motor=duty(duty=(part(0.5, 90_000.0), part(0.5, 0.0))))
    )

    assert {row.ref for row in found.sharing.duty.bearings} == {"1", "g1"}


def test_no_duty_no_block():
    found = check_stack(stack(*faces("dd")))

    assert found.sharing.duty is None
