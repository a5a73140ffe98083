from dataclasses import replace

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.quantities import Stack
from bearings.engineering.warmth import warmth_curve
from bearings.public import arrangement_sentence, assessment_answer, parse_stack
from tests.bearings.factories import angular, deep_groove, duty, faces, guide, settled, stack, thrust_roller


def loads(built: Stack, name: str = "running") -> dict[str, float | None]:
    return dict(next(case for case in check_stack(built).cases if case.name == name).axial_loads())


def missing(built: Stack, subject: str) -> set[tuple[str, str | None]]:
    """Return what a subject that is not proven lacks."""
    (result,) = [one for one in check_stack(built).subjects if one.subject == subject]
    assert result.verdict == "not_proven"
    return set(result.missing)


def test_cases_have_their_net_loads_and_unknown_ones_are_left_out():
    answer = check_stack(stack(*faces("ddu"), motor=duty(up_thrust_n=9_000.0)))

    assert {case.name: case.net_axial_n for case in answer.cases} == {
        "running": 32_200.0,
        "uncoupled": 2_200.0,
        "up_thrust": -6_800.0,
    }
    ranged = {case.name for case in answer.judged_cases if case.ranged}
    assert "maximum" in ranged
    assert not ranged & {"running", "uncoupled", "up_thrust"}


def test_a_horizontal_shaft_carries_no_rotor_weight_along_itself():
    answer = check_stack(stack(*faces("du"), motor=duty(mounting="horizontal", rotor_weight_n=None)))

    assert {case.name: case.net_axial_n for case in answer.cases} == {"running": 30_000.0, "uncoupled": 0.0}


def test_nothing_in_the_direction_of_a_case_leaves_all_loads_at_zero():
    answer = check_stack(stack(*faces("uu")))

    assert not answer.cases[0].carried
    assert [row.axial_n for row in answer.cases[0].bearings] == [0.0, 0.0]
    assert answer.life.bearings == ()
    assert answer.life.stack_l10h is None
    assert answer.findings[0].code == "down-thrust-not-carried"


def test_deep_groove_bearings_and_guides_take_the_whole_thrust_in_equal_parts_when_no_other_does():
    built = stack(deep_groove(), angular("u"), guides=(guide("down", 50.0), guide("none")))

    assert loads(built) == {"1": 16_100.0, "2": 0.0, "g1": 16_100.0, "g2": 0.0}


def test_a_deep_groove_bearing_beside_one_way_bearings_leaves_the_sharing_unchecked():
    built = stack(angular("d"), deep_groove())

    assert loads(built) == {"1": None, "2": None}
    assert ("items", None) in missing(built, "life")
    assert ("items", None) in missing(built, "capacity")


def test_two_thrust_rollers_of_one_direction_leave_the_sharing_unchecked():
    assert ("items", None) in missing(stack(thrust_roller(), thrust_roller()), "life")


@pytest.mark.parametrize(
    ("down_thrust", "roller", "held"),
    [(0.0, 7_000.0, 4_800.0), (-5_000.0, 7_000.0, 9_800.0), (60_000.0, 62_200.0, 0.0)],
)
def test_springs_keep_a_held_thrust_roller_loaded(down_thrust, roller, held):
    # max(P, spring force) on the roller bearing and that minus P on the guide (statics).
    built = stack(
        thrust_roller(spring_force_n=7_000.0), motor=duty(down_thrust_n=down_thrust), guides=(guide("up"),)
    )

    assert loads(built) == {"1": roller, "g1": held}


def test_springs_of_unknown_force_leave_the_loads_unknown():
    built = stack(thrust_roller(spring_rate_n_per_mm=900.0), guides=(guide("up"),))

    assert loads(built) == {"1": None, "g1": None}
    assert ("spring_force_n", "1") in missing(built, "life")
    assert ("spring_force_n", "1") in missing(built, "springs")


def test_a_guide_with_end_play_does_not_hold_the_springs():
    built = stack(thrust_roller(spring_force_n=7_000.0), guides=(guide("up", 50.0),))

    assert loads(built, "uncoupled") == {"1": 2_200.0, "g1": 0.0}


def test_an_unknown_end_play_is_shown_as_none_and_judged_over_its_range():
    built = stack(thrust_roller(spring_force_n=7_000.0), guides=(guide("up", None),))

    assert loads(built, "uncoupled") == {"1": 7_000.0, "g1": 4_800.0}
    asked = {(one.field, one.ref) for one in check_stack(built).settles if one.missing}
    assert ("end_play_um", "g1") in asked


def test_unloading_thrust_is_zero_when_a_bearing_is_unloaded_already():
    assert check_stack(stack(*faces("du"))).unloading_thrust_n == 0.0


@pytest.mark.parametrize("items", [faces("dd"), faces("uu"), (deep_groove(),), (thrust_roller(),)])
def test_unloading_thrust_needs_bearings_both_ways(items):
    assert check_stack(stack(*items)).unloading_thrust_n is None


def test_a_bearing_below_one_newton_is_unloaded():
    answer = check_stack(stack(angular("d"), motor=duty(down_thrust_n=0.0, rotor_weight_n=0.9)))

    assert answer.cases[0].bearings[0].unloaded
    assert answer.life.bearings == ()


def test_preload_against_a_thrust_roller_is_not_shared_as_if_it_were_not_there():
    """The contract gives no stiffness of a thrust roller bearing, so the sharing stays unknown and says so."""
    file = {
        "stack_file": 1,
        "motor": {"rated_speed_rpm": 1180, "down_thrust_n": 50_000, "rotor_weight_n": 4_000},
        "items": [
            {"kind": "bearing", "type": "spherical_roller_thrust", "wide_face": "down"},
            {"kind": "bearing", "type": "angular_contact_ball", "wide_face": "up", "pair_preload_n": 900},
        ],
    }
    answer = assessment_answer(check_stack(parse_stack(file)))
    assert [row["axial_n"] for row in answer["cases"][0]["bearings"]] == [None, None]
    reasons = " ".join(row["reason"] for row in answer["not_checked"])
    assert "load sharing in this stack" in reasons
    file["items"][1].pop("pair_preload_n")
    loose = assessment_answer(check_stack(parse_stack(file)))
    assert [row["axial_n"] for row in loose["cases"][0]["bearings"]] == [54_000.0, 0.0]


def test_a_spacer_of_which_one_ring_alone_is_measured_is_not_checked_and_called_a_part():
    file = {
        "stack_file": 1,
        "motor": {"rated_speed_rpm": 1180},
        "items": [
            {"kind": "bearing", "type": "angular_contact_ball", "wide_face": "down"},
            {"kind": "spacer", "ring": "both", "height_mm": 10.5, "inner_height_mm": 10},
            {"kind": "bearing", "type": "angular_contact_ball", "wide_face": "up"},
        ],
    }
    answer = assessment_answer(check_stack(parse_stack(file)))
    reasons = [row["reason"] for row in answer["not_checked"] if row["check"] == "parts"]
    assert len(reasons) == 1
    assert reasons[0].endswith(" for part a")


@pytest.mark.parametrize(("weight", "verdict"), [(None, "not_proven"), (12_000.0, "ok")])
def test_a_lasting_up_thrust_that_may_balance_the_rotor_leaves_skidding_open(weight, verdict):
    # Either end of the range presses one of the two bearings enough; somewhere between none is pressed at all.
    motor = duty(rotor_weight_n=weight, up_thrust_n=4_000.0, up_thrust_duty="continuous")
    built = settled(stack(*faces("du", minimum_load_factor_n=1.0, fit_interference_um=0.0), motor=motor))
    (skidding,) = [one for one in check_stack(built).subjects if one.subject == "skidding"]

    assert skidding.verdict == verdict


def test_while_a_face_is_not_known_no_load_no_relation_and_no_speed_of_the_set_is_told():
    upper, open_, lower = (replace(one, pair_preload_n=1500.0) for one in faces("ddu"))
    motor = duty(shaft_warmer_k=15.0)
    built = settled(stack(upper, replace(open_, wide_face=None), lower, motor=motor))
    answer = check_stack(built)
    for case in answer.cases:
        assert {load for _ref, load in case.axial_loads()} == {None}
        assert case.not_shared == "face-unknown"
    assert answer.arrangement.relations == ()
    assert arrangement_sentence(answer.arrangement).endswith("The face of bearing 2 is not known.")
    assert [row.permissible_rpm for row in answer.speed.bearings] == [None, None, None]
    assert (answer.end_play_mounted, answer.sharing.end_play_um, answer.sharing.gauge) == (None, None, None)
    assert answer.sharing.growth == ()
    assert warmth_curve(built) == ()
    assert missing(built, "directions") == {("wide_face", "2")}
    assert ("items", None) not in missing(built, "capacity")


def test_of_bearings_whose_faces_nobody_entered_it_is_not_said_that_none_carries():
    built = stack(*(replace(one, wide_face=None) for one in faces("dd")))
    words = arrangement_sentence(check_stack(built).arrangement)
    assert words == "The faces of bearings 1 and 2 are not known."
    assert [one.code for one in check_stack(built).findings if one.severity == "stop"] == []
