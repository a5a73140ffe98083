import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.engineering.headline import LOOKED_UP
from bearings.engineering.quantities import Bearing, Lubrication, MotorDuty, Part, Stack
from bearings.stack_file import ROOMS, parse_stack
from tests.bearings.factories import angular, duty, faces, settled, stack, turned_over
from tests.bearings.strategies import stack_values_of

REFERENCE = Path(__file__).parent.parent / "reference"


def agrees(expected, found, path=""):
    """Every value of the independent answer must be in ours, to its printed digits."""
    if isinstance(expected, dict):
        for key, value in expected.items():
            agrees(value, found[key], f"{path}.{key}")
    elif isinstance(expected, list):
        assert len(expected) == len(found), path
        for place, value in enumerate(expected):
            agrees(value, found[place], f"{path}[{place}]")
    elif isinstance(expected, float):
        assert found == pytest.approx(expected, rel=1e-5, abs=1e-6), path
    else:
        assert found == expected, path


def test_the_triple_has_the_answer_that_another_program_gave_it():
    expected = json.loads((REFERENCE / "triple.answer.json").read_text())
    answer = assessment_answer(check_stack(parse_stack((REFERENCE / "triple.json").read_bytes())))

    agrees(expected.pop("static"), answer["static"]["bearings"])
    # The independent answer knows the cases whose thrust is entered; one whose thrust is ranged follows them.
    cases = expected.pop("cases")
    agrees(cases, [one for one in answer["cases"] if not one["ranged"]])
    agrees(expected, answer)


def test_the_working_leads_from_inputs_to_results():
    working = check_stack(stack(*faces("ddu", pair_preload_n=1_500.0))).working

    assert {line.topic for line in working} == {
        "sharing",
        "rising",
        "play",
        "cases",
        "oil",
        "life",
        "static",
        "speed",
        "heat",
        "passing",
    }
    assert all(line.formula and line.source for line in working)
    life = next(line for line in working if line.symbol == "L10h" and line.ref is None)
    assert life.value == check_stack(stack(*faces("ddu", pair_preload_n=1_500.0))).life.stack_l10h


PATTERNS = st.text("du", min_size=1, max_size=5)


@settings(max_examples=60, deadline=None)
@given(PATTERNS, st.floats(0, 5_000), st.floats(100, 80_000))
def test_turning_the_whole_stack_over_swaps_up_and_down(pattern, preload, thrust):
    items = faces(pattern, pair_preload_n=preload)
    motor = duty(mounting="horizontal", down_thrust_n=thrust)
    upright = check_stack(Stack(motor=motor, items=items))
    turned = check_stack(Stack(motor=replace(motor, down_thrust_n=-thrust), items=turned_over(items)))

    assert upright.cases[0].carried == turned.cases[0].carried
    assert [row.axial_n for row in upright.cases[0].bearings] == pytest.approx(
        [row.axial_n for row in reversed(turned.cases[0].bearings)], rel=1e-9, abs=1e-6
    )


@settings(max_examples=60, deadline=None)
@given(PATTERNS, st.floats(0, 5_000), st.floats(-20, 20), st.floats(-50_000, 80_000))
def test_the_loads_of_a_carried_case_balance_its_net_thrust(pattern, preload, stand_out, thrust):
    items = faces(pattern, pair_preload_n=preload)
    built = stack(angular("d", stand_out_um=stand_out), *items, motor=duty(down_thrust_n=thrust))
    for case in check_stack(built).cases:
        signs = [1.0 if one.wide_face == "down" else -1.0 for one in built.items if isinstance(one, Bearing)]
        total = sum(sign * row.axial_n for sign, row in zip(signs, case.bearings, strict=True))
        expected = case.net_axial_n if case.carried else 0.0
        assert total == pytest.approx(expected, rel=1e-9, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(["du", "ddu", "ud", "duu"]), st.floats(100, 4_000), st.floats(1.0, 1.5))
def test_above_the_unloading_thrust_more_thrust_never_lengthens_life(pattern, preload, growth):
    items = faces(pattern, pair_preload_n=preload)
    unloading = check_stack(stack(*items)).unloading_thrust_n

    def life(thrust):
        return check_stack(
            stack(*items, motor=duty(rotor_weight_n=0.0, down_thrust_n=thrust))
        ).life.stack_l10h

    assert life(unloading * growth * 1.1) <= life(unloading * growth) * (1 + 1e-9)


@settings(max_examples=30, deadline=None)
@given(st.text("du", min_size=2, max_size=4), st.data())
def test_spacers_never_change_a_relation(pattern, data):
    items = list(faces(pattern))
    for _ in range(data.draw(st.integers(1, 4))):
        items.insert(data.draw(st.integers(0, len(items))), Part(kind="spacer", ring="both", height_mm=5.0))

    assert check_stack(stack(*items)).arrangement == check_stack(stack(*faces(pattern))).arrangement


@settings(max_examples=150, deadline=None)
@given(stack_values_of())
def test_no_accepted_stack_raises_and_its_answer_is_finite_json(values):
    assessment = check_stack(parse_stack(values))

    json.dumps(assessment_answer(assessment), allow_nan=False)
    for case in assessment.cases:
        assert case.carried or all(load == 0 for _, load in case.axial_loads())


@settings(max_examples=100, deadline=None)
@given(stack_values_of(), st.data())
def test_an_unknown_input_never_turns_a_stop_of_its_own_check_into_nothing(values, data):
    """What becomes unknown is either found just as before or named among the checks not made."""
    name = data.draw(
        st.sampled_from(["rotor_weight_n", "radial_load_n", "down_thrust_n", "maximum_down_thrust_n"])
    )
    before = check_stack(parse_stack(values))
    values["motor"].pop(name, None)
    after = check_stack(parse_stack(values))

    lost = {one.code for one in before.findings if one.severity == "stop"}
    lost -= {one.code for one in after.findings}
    assert not lost or after.not_checked


def test_a_stack_of_which_nothing_is_known_leaves_nothing_in_order():
    bare = Stack(
        motor=MotorDuty(rated_speed_rpm=1_780.0),
        items=(Bearing(type="angular_contact_ball", wide_face="down"),),
        lubrication=Lubrication(),
    )
    answer = check_stack(bare)

    assert answer.cases == ()
    assert answer.life.stack_l10h is None
    assert answer.speed.permissible_rpm is None
    assert answer.thermal.permissible_rpm is None
    open_ones = {one.subject for one in answer.subjects if one.verdict == "not_proven"}
    assert {"capacity", "life", "speed", "skidding", "lubrication", "heat"} <= open_ones
    assert answer.headline.verdict == "not_proven"
    assert {one.code for one in answer.findings} == {"speed-not-rated", "thrust-through-snap-ring"}


@pytest.mark.parametrize("name", ["radial_load_n", "down_thrust_n"])
def test_without_a_load_the_life_is_unknown_and_never_in_order(name):
    answer = check_stack(stack(*faces("dd"), motor=duty(**{name: None})))

    assert answer.life.stack_l10h is None
    assert "life" in {one.check for one in answer.not_checked}


def test_the_field_table_covers_the_value_types():
    assert set(ROOMS["motor"]) == set(MotorDuty.__dataclass_fields__)
    assert set(ROOMS["lubrication"]) == set(Lubrication.__dataclass_fields__)
    assert set(ROOMS["bearing"]) == set(Bearing.__dataclass_fields__)
    assert set(ROOMS["part"]) == set(Part.__dataclass_fields__) - {"kind"}


def test_what_one_line_of_a_catalog_answers_is_one_question_that_names_all():
    bare = angular(bore_mm=None, outside_diameter_mm=None, static_rating_n=None)
    headline = check_stack(settled(stack(bare))).headline
    (looked_up,) = [one for one in headline.ask if one.field in LOOKED_UP]
    fields = {looked_up.field, *looked_up.also}
    assert fields >= {"bore_mm", "outside_diameter_mm", "static_rating_n"}
    assert looked_up.refs == ("1",)
    asks = [row["asks"] for row in assessment_answer(check_stack(settled(stack(bare))))["headline"]["ask"]]
    (said,) = [one for one in asks if "catalog" in one]
    assert said.startswith("Bearing 1: Look up bore, outside diameter")


def test_one_figure_of_a_catalog_is_asked_for_in_its_own_words():
    headline = check_stack(settled(stack(angular(limiting_speed_rpm=None)))).headline
    (asked,) = [one for one in headline.ask if one.field in LOOKED_UP]
    assert (asked.field, asked.also) == ("limiting_speed_rpm", ())
