from dataclasses import replace

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.quantities import Part, Policy, Stack
from bearings.engineering.settling import with_value
from bearings.engineering.subjects import FINDING_CODES, SUBJECTS
from bearings.wording import finding_sentence
from bearings.wording.findings import SENTENCES
from tests.bearings.factories import (
    angular,
    deep_groove,
    duty,
    faces,
    guide,
    oil,
    settled,
    shoulder,
    stack,
    thrust_roller,
)


def found(built, code):
    findings = check_stack(settled(built)).findings
    return [(one.severity, one.ref) for one in findings if one.code == code]


def test_every_published_code_belongs_to_exactly_one_subject():
    codes = [code for subject in SUBJECTS for code in subject.codes]
    assert len(codes) == len(set(codes)) == len(FINDING_CODES)
    assert set(SENTENCES) == set(codes)


def test_a_vertical_shaft_that_nothing_holds_is_stopped_without_any_magnitude():
    motor = duty(down_thrust_n=None, rotor_weight_n=None)

    assert found(stack(*faces("u"), motor=motor), "down-thrust-not-carried") == [("stop", None)]
    assert found(stack(*faces("u"), motor=motor, guides=(guide("down"),)), "down-thrust-not-carried") == []
    assert found(stack(deep_groove(), motor=motor), "down-thrust-not-carried") == []
    horizontal = duty(mounting="horizontal", down_thrust_n=None)
    assert found(stack(*faces("u"), motor=horizontal), "down-thrust-not-carried") == []


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"up_thrust_n": 9_000.0}, [("stop", None)]),
        ({"up_thrust_n": 2_200.0}, []),
        ({"up_thrust_n": 9_000.0, "rotor_weight_n": None, "down_thrust_n": None}, [("warn", None)]),
        ({"rotor_weight_n": None}, []),
        ({"down_thrust_n": -5_000.0}, [("stop", None)]),
        ({"mounting": "horizontal", "up_thrust_n": 10.0}, [("stop", None)]),
    ],
)
def test_up_thrust_needs_something_that_carries_up(values, expected):
    assert found(stack(*faces("d"), motor=duty(**values)), "up-thrust-not-carried") == expected
    assert found(stack(*faces("du"), motor=duty(**values)), "up-thrust-not-carried") == []


def test_washers_part_under_net_up_thrust_unless_springs_or_a_guide_hold_them():
    motor = duty(up_thrust_n=9_000.0)

    assert found(stack(thrust_roller(), motor=motor), "washers-part") == [("stop", "1")]
    assert found(stack(thrust_roller(), motor=motor, guides=(guide("up", 50.0),)), "washers-part") == [
        ("stop", "1")
    ]
    assert found(stack(thrust_roller(), motor=motor, guides=(guide("up"),)), "washers-part") == []
    assert found(stack(thrust_roller(spring_force_n=9_000.0), motor=motor), "washers-part") == []
    assert found(stack(thrust_roller(), motor=duty(up_thrust_n=2_000.0)), "washers-part") == []


@pytest.mark.parametrize(
    ("rating", "required", "expected"),
    [
        (216_000.0, None, []),
        (150_000.0, None, [("warn", None)]),
        (90_000.0, None, [("stop", None)]),
        (150_000.0, 20_000.0, []),
        (216_000.0, 1e6, [("warn", None)]),
        (90_000.0, 100.0, [("stop", None)]),
    ],
)
def test_life_is_weighed_against_policy_or_what_was_asked_for(rating, required, expected):
    built = stack(*faces("dd", dynamic_rating_n=rating), motor=duty(required_l10h=required))

    assert found(built, "life") == expected


def test_static_safety_has_a_minimum_for_balls_and_another_for_thrust_rollers():
    assert found(stack(angular(static_rating_n=8_000.0)), "static-safety") == [("stop", "1")]
    assert found(stack(angular(static_rating_n=9_000.0)), "static-safety") == []
    roller = stack(thrust_roller(static_rating_n=100_000.0), guides=(guide("none"),))
    assert found(roller, "static-safety") == [("stop", "1")]


def test_an_opposed_bearing_that_runs_unloaded_is_noted_and_warned_of_when_fast():
    preloaded = faces("du", pair_preload_n=1_500.0)

    assert found(stack(*preloaded), "unloaded-in-running") == [("note", "2")]
    slow_shop = Policy(unloaded_warn_ndm=200_000.0)
    assert found(stack(*preloaded, policy=slow_shop), "unloaded-in-running") == [("warn", "2")]
    assert found(stack(angular("d"), angular("u", spring_force_n=500.0)), "unloaded-in-running") == []
    assert found(stack(*preloaded, motor=duty(down_thrust_n=0.0)), "unloaded-in-running") == []


def test_minimum_load_counts_speed_squared_and_names_the_case_that_lacks_most():
    light = duty(down_thrust_n=0.0, rotor_weight_n=500.0)
    built = stack(angular(minimum_load_factor_n=300.0), motor=light)

    warned, noted = [one for one in check_stack(settled(built)).findings if one.code == "minimum-load"]
    assert warned.limit == pytest.approx(300.0 * 1.78**2)
    assert (warned.severity, warned.params["case"]) == ("warn", "running")
    # Uncoupled is no case to run in for long: the speed at which the rotor alone suffices is told.
    assert (noted.severity, noted.params["case"]) == ("note", "uncoupled")
    assert noted.params["test_run_rpm"] == pytest.approx(1000 * (500.0 / 300.0) ** 0.5)
    assert found(stack(*faces("du", minimum_load_factor_n=300.0)), "minimum-load") == []


def test_a_thrust_roller_needs_its_minimum_load_even_when_it_carries_none():
    motor = duty(down_thrust_n=-9_000.0)
    roller = thrust_roller(minimum_load_factor_n=3_000.0)
    built = stack(roller, motor=motor, guides=(guide("up"),))

    findings = [one for one in check_stack(settled(built)).findings if one.code == "minimum-load"]
    assert [(one.severity, one.params["case"]) for one in findings] == [
        ("warn", "uncoupled"),
        ("warn", "running"),
    ]
    # max(1.8 Fr, 0.0005 C0) + A (n/1000)^2 (handbook; the C0 branch from memory).
    uncoupled, running = findings
    assert uncoupled.limit == pytest.approx(max(1.8 * 800.0, 0.0005 * 4_300_000.0) + 3_000.0 * 1.78**2)
    assert running.value == 0.0


def test_a_direction_that_changes_twice_is_no_matched_arrangement():
    assert found(stack(*faces("dud")), "not-a-matched-arrangement") == [("warn", None)]
    told = [finding_sentence(one) for one in check_stack(settled(stack(*faces("dud")))).findings]
    assert any("changes 2 times" in words for words in told)
    assert found(stack(*faces("dduu")), "not-a-matched-arrangement") == []


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({}, []),
        ({"maker": "Maker B"}, [("stop", "2")]),
        ({"designation": "7320 X"}, [("stop", "2")]),
        ({"contact_angle_deg": 30.0}, [("stop", "2")]),
        ({"variant": "B"}, [("stop", "2")]),
        ({"set_id": "S2"}, [("warn", "2")]),
    ],
)
def test_bearings_that_share_thrust_must_be_of_one_kind(values, expected):
    known = {"maker": "Maker A", "variant": "A", "set_id": "S1", "pairing": "matched"}
    tandem = stack(angular(**known), angular(**(known | values)))
    opposed = stack(angular("d", **known), angular("u", **(known | values)))

    assert found(tandem, "mixed-set") == expected
    assert found(opposed, "mixed-set") == []


def test_bearings_of_one_tandem_have_one_envelope():
    assert found(stack(angular(), angular(outside_diameter_mm=190.0)), "envelope") == [("stop", "2")]
    assert found(stack(angular(), angular(bore_mm=95.0)), "envelope") == [("stop", "2")]
    assert found(stack(angular(), angular(bore_mm=None)), "envelope") == []


def test_stand_out_of_tandem_neighbours_may_differ_by_the_policy_exactly():
    def pair(lower, face="d"):
        return stack(angular(stand_out_um=0.1), angular(face, stand_out_um=lower))

    assert found(pair(3.1), "stand-out-mismatch") == []
    assert found(pair(3.2), "stand-out-mismatch") == [("warn", "2")]
    assert found(pair(9.0, "u"), "stand-out-mismatch") == []


def test_preload_without_a_nut_is_noted_with_the_loads_that_follow_without_it():
    built = Stack(motor=duty(down_thrust_n=0.0), items=faces("du", pair_preload_n=1_500.0), lubrication=oil())

    (finding,) = [one for one in check_stack(settled(built)).findings if one.code == "preload-not-proven"]
    assert finding.params["loads"] == (("1", pytest.approx(2_200.0)), ("2", 0.0))
    assert found(stack(*faces("du", pair_preload_n=1_500.0)), "preload-not-proven") == []
    assert found(Stack(motor=duty(), items=faces("du")), "preload-not-proven") == []


def spacer(ring, **heights):
    return Part(kind="spacer", ring=ring, **heights)


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ((spacer("inner", height_mm=10.0),), [("warn", "b")]),
        ((spacer("both", inner_height_mm=10.0, outer_height_mm=10.005),), []),
        ((spacer("both", inner_height_mm=10.0, outer_height_mm=10.006),), [("warn", "b")]),
        ((spacer("inner", height_mm=10.0), spacer("outer", height_mm=10.005)), []),
        ((spacer("inner", height_mm=10.0), spacer("outer", height_mm=10.006)), [("warn", "b")]),
        ((Part(kind="slinger", ring="inner"),), []),
    ],
)
def test_spacers_between_bearings_stand_on_both_rings_at_one_height(parts, expected):
    assert found(stack(angular("d"), *parts, angular("u")), "spacer-pair") == expected


def test_a_spacer_that_is_not_between_bearings_is_nobodys_pair():
    assert found(stack(spacer("inner", height_mm=10.0), angular("d")), "spacer-pair") == []


def test_thrust_through_a_snap_ring_alone_warns_and_nothing_on_record_is_noted():
    ring = Part(kind="snap_ring", ring="inner")

    def items(*parts):
        return Stack(motor=duty(), items=(*parts, angular("d")), lubrication=oil())

    assert found(items(ring), "thrust-through-snap-ring") == [("warn", "a")]
    assert found(items(), "thrust-through-snap-ring") == [("note", "1")]
    assert found(items(shoulder(), ring), "thrust-through-snap-ring") == []
    assert found(stack(*faces("u")), "thrust-through-snap-ring") == []


def test_a_thrust_roller_takes_little_radial_load():
    built = stack(thrust_roller(), motor=duty(radial_load_n=18_000.0), guides=(guide("none"),))

    assert found(built, "radial-load-on-thrust-roller") == [("stop", "1")]
    within = stack(thrust_roller(), motor=duty(radial_load_n=17_000.0), guides=(guide("none"),))
    assert found(within, "radial-load-on-thrust-roller") == []


def test_thrust_rollers_need_something_that_guides_the_shaft():
    assert found(stack(thrust_roller()), "no-radial-guide") == [("warn", "1")]
    assert found(stack(thrust_roller(), guides=(guide("none"),)), "no-radial-guide") == []
    assert found(stack(thrust_roller(), angular("u")), "no-radial-guide") == []


def test_thin_oil_is_warned_of():
    assert found(stack(angular(), lubrication=oil(iso_vg=22.0, temperature_c=90.0)), "viscosity") == [
        ("warn", "1")
    ]
    assert found(stack(angular()), "viscosity") == []


def test_bearings_of_too_little_static_safety_are_one_line_with_the_worst_value():
    # ISO 76 at 40 degrees: P0 = 0.26 Fa, so of like loads the smaller rating is the worse.
    checked = check_stack(settled(stack(angular(static_rating_n=3_000.0), angular(static_rating_n=2_000.0))))
    (one,) = [one for one in checked.findings if one.code == "static-safety"]
    assert (one.severity, one.ref, one.refs) == ("stop", "2", ("2", "1"))
    assert one.value == pytest.approx(min(row.safety for row in checked.static))


def test_too_little_static_safety_names_the_bearings_of_the_worst_try():
    """The second bearing is too weak only near the greatest thrust that may come, but then it is to be changed too."""
    built = settled(stack(angular(static_rating_n=3_000.0), angular(static_rating_n=5_000.0)))
    told = {}
    for thrust in (30_000.0, 45_000.0, None):
        checked = check_stack(with_value(built, "motor.maximum_down_thrust_n", None, thrust))
        (told[thrust],) = [one for one in checked.findings if one.code == "static-safety"]
    assert [told[thrust].refs for thrust in told] == [("1",), ("1", "2"), ("1", "2")]
    assert (told[None].severity, told[None].ref) == ("stop", "1")


@pytest.mark.parametrize(("radial", "told"), [(100_000.0, ["g1"]), (40_000.0, [])])
def test_a_guide_that_takes_no_thrust_is_held_against_its_static_rating_by_its_radial_load(radial, told):
    # ISO 76: P0 of a deep groove bearing without thrust is Fr; 107 kN over 100 kN is below a safety of 1.2.
    one = replace(guide("none", None), radial_load_n=radial)
    policy = Policy(minimum_static_safety_ball=1.2)
    found = check_stack(stack(angular(), guides=(one,), policy=policy)).findings
    assert [finding.ref for finding in found if finding.code == "static-safety"] == told


def test_a_guide_under_radial_load_asks_for_its_static_rating():
    one = replace(guide("none", None, static_rating_n=None), radial_load_n=500.0)
    checked = check_stack(settled(stack(angular(), guides=(one,))))
    (capacity,) = [one for one in checked.subjects if one.subject == "capacity"]
    assert (capacity.verdict, [tuple(gap) for gap in capacity.missing]) == (
        "not_proven",
        [("static_rating_n", "g1")],
    )
