from dataclasses import replace

import pytest

from bearings.answer import comparison_answer
from bearings.engineering.comparison import compare
from bearings.engineering.quantities import Part, Stack
from tests.bearings.factories import (
    angular,
    deep_groove,
    duty,
    guide,
    nut,
    shoulder,
    stack,
    thrust_roller,
    turned_over,
)


def codes(found: Stack, built: Stack) -> list[tuple[str, str | None, str | None]]:
    return [(one.code, one.ref_found, one.ref_built) for one in compare(found, built).differences]


def marked(pattern: str) -> list:
    return [angular(face, mark=str(41 + place)) for place, face in enumerate(pattern)]


def like(pattern: str) -> list:
    return [angular(face) for face in pattern]


def test_a_stack_is_the_same_as_itself_whatever_its_notes():
    found = stack(*marked("ddu"))
    built = stack(*[replace(one, note="checked", source="another book") for one in marked("ddu")])

    assert compare(found, built).same
    assert comparison_answer(compare(found, built)) == {"same": True, "differences": []}


def test_one_bearing_turned_over():
    (difference,) = compare(stack(*marked("ddu")), stack(*marked("duu"))).differences

    assert difference == ("turned-over", "2", "2", {"found": "down"})


def test_bearings_that_changed_places_are_moved_and_the_rest_is_not():
    a, b, c = marked("ddu")

    assert codes(stack(a, b, c), stack(b, a, c)) in ([("moved", "1", "2")], [("moved", "2", "1")])


def test_a_bearing_taken_out_or_put_in_does_not_move_the_others():
    a, b, c = marked("ddu")

    assert codes(stack(a, b, c), stack(a, c)) == [("missing", "2", None)]
    assert codes(stack(a, c), stack(a, b, c)) == [("added", None, "2")]


@pytest.mark.parametrize(
    ("code", "field", "value"),
    [
        ("replaced", "type", "spherical_roller_thrust"),
        ("replaced", "designation", "7320 X"),
        ("replaced", "maker", "Maker B"),
        ("replaced", "variant", "B"),
        ("replaced", "cage", "brass"),
        ("replaced", "cage_material", "polyamide"),
        ("replaced", "pairing", "single"),
        ("replaced", "bore_mm", 95.0),
        ("replaced", "outside_diameter_mm", 180.0),
        ("replaced", "height_mm", 34.0),
        ("replaced", "contact_angle_deg", 30.0),
        ("replaced", "ball_count", 12),
        ("replaced", "ball_diameter_mm", 31.75),
        ("replaced", "pitch_diameter_mm", 160.0),
        ("rating-changed", "dynamic_rating_n", 1.0e5),
        ("rating-changed", "static_rating_n", 1.0e5),
        ("rating-changed", "fatigue_load_limit_n", 6_000.0),
        ("rating-changed", "limiting_speed_rpm", 2_000.0),
        ("rating-changed", "reference_speed_rpm", 2_400.0),
        ("rating-changed", "oil_speed_rpm", 3_000.0),
        ("rating-changed", "grease_speed_rpm", 2_200.0),
        ("rating-changed", "minimum_load_factor_n", 0.1),
        ("rating-changed", "pair_preload_n", 900.0),
        ("rating-changed", "spring_force_n", 500.0),
        ("rating-changed", "spring_rate_n_per_mm", 80.0),
        ("rating-changed", "spring_travel_mm", 2.0),
    ],
)
def test_what_differs_in_a_bearing_has_its_code_and_its_field(code, field, value):
    built = stack(angular("d"), replace(angular("u"), **{field: value}))
    (difference,) = compare(stack(angular("d"), angular("u")), built).differences
    assert (difference.code, difference.ref_found, difference.ref_built) == (code, "2", "2")
    assert difference.params["fields"] == (field,)


@pytest.mark.parametrize("field", ["height_mm", "inner_height_mm", "outer_height_mm"])
def test_a_spacer_of_another_height_is_another_one_and_a_height_that_nobody_asked_for_is_none(field):
    spacer = Part(kind="spacer", ring="both")
    thinner, thicker = replace(spacer, **{field: 19.0}), replace(spacer, **{field: 20.0})

    assert codes(stack(thinner, angular()), stack(thicker, angular())) == [("replaced", "b", "b")]
    assert compare(stack(spacer, angular()), stack(thicker, angular())).same


def test_a_ring_that_sits_on_the_other_ring_is_another_one():
    ring = Part(kind="snap_ring", ring="inner")

    assert codes(stack(ring, angular()), stack(replace(ring, ring="outer"), angular())) == [
        ("replaced", "b", "b")
    ]


def test_a_whole_stack_upside_down_is_turned_over_for_each_and_said_once():
    found = stack(*marked("ddu"))
    built = Stack(motor=duty(), items=(shoulder(), *turned_over(tuple(marked("ddu"))), nut()))
    comparison = compare(found, built)

    assert comparison.upside_down == "yes"
    assert [one.code for one in comparison.differences] == ["turned-over"] * 3
    first = comparison_answer(comparison)["differences"][0]
    assert (first["ref_found"], first["code"]) == (None, "turned-over")
    assert "upside down" in first["message"]


def test_like_bearings_upside_down_read_as_one_turned_over_and_both_are_named():
    comparison = compare(stack(*like("ddu")), stack(*like("duu")))

    assert [(one.code, one.ref_found) for one in comparison.differences] == [("turned-over", "2")]
    assert comparison.upside_down == "possible"
    (difference,) = comparison_answer(comparison)["differences"]
    assert "upside down" in difference["message"]
    assert "upside down" in difference["message"]


def test_a_tandem_pair_of_like_bearings_turned_over_is_upside_down():
    comparison = compare(stack(*like("dd")), stack(*like("uu")))

    assert comparison.upside_down == "yes"
    assert len(comparison.differences) == 2


def test_a_back_to_back_pair_of_like_bearings_upside_down_is_the_same():
    assert compare(stack(*like("du")), stack(*like("du"))).same


def test_unlike_bearings_upside_down_are_recognised_without_marks():
    found = (angular("d", designation="A"), angular("d", designation="A"), angular("u", designation="B"))

    assert compare(stack(*found), stack(*turned_over(found))).upside_down == "yes"


def test_the_pairing_with_fewest_differences_wins():
    a, b = angular("d", designation="A"), thrust_roller("d")

    assert len(compare(stack(a, b), stack(b, a)).differences) == 1


def test_set_and_designation_pair_before_order():
    a, b = angular("d", set_id="S1"), angular("d", set_id="S2", dynamic_rating_n=1e5)

    assert [one.code for one in compare(stack(a, b), stack(b, a)).differences] == ["moved"]


def test_other_parts_are_compared_too():
    spacer = Part(kind="spacer", ring="both", height_mm=20.0)
    thinner = replace(spacer, height_mm=19.0)

    assert codes(stack(spacer, angular()), stack(angular())) == [("missing", "b", None)]
    assert codes(stack(spacer, angular()), stack(thinner, angular())) == [("replaced", "b", "b")]


def test_guides_are_compared_by_their_own_refs():
    found = stack(angular(), guides=(guide("up"),))

    assert codes(found, stack(angular(), guides=(guide("up", designation="6319"),))) == [
        ("replaced", "g1", "g1")
    ]
    assert codes(found, stack(angular())) == [("missing", "g1", None)]
    assert codes(found, stack(angular(), guides=(guide("none"),))) == [("replaced", "g1", "g1")]


def test_a_bearing_without_a_wide_face_cannot_be_turned_over():
    assert compare(stack(deep_groove()), stack(deep_groove())).same


def test_what_is_asked_for_and_not_shown_is_a_difference_of_its_own():
    spacer = Part(kind="spacer", ring="both", height_mm=12.0)
    asked = stack(angular("d"), spacer, angular("u"))
    shown = stack(angular("d"), replace(spacer, height_mm=None), angular("u"))
    comparison = compare(asked, shown)

    assert [(one.code, one.ref_found) for one in comparison.differences] == [("not-shown", "b")]
    assert not comparison.same
    assert comparison.only_not_shown
    assert not compare(asked, stack(angular("d"), shown.items[2], angular("d"))).only_not_shown
    assert not compare(asked, asked).only_not_shown


@pytest.mark.parametrize(
    "values", [{"serial": "S2"}, {"mark": "9"}, {"set_id": "S"}, {"stand_out_um": 1.0}], ids=str
)
def test_what_a_specification_cannot_know_is_no_difference(values):
    assert compare(stack(angular("d"), angular("u")), stack(angular("d"), angular("u", **values))).same
    asked = stack(angular("d"), angular("u", **values))
    assert [one.code for one in compare(asked, stack(angular("d"), angular("u"))).differences] == [
        "not-shown"
    ]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ({"cage": "brass"}, {"cage": "steel"}),
        ({"mark": "1"}, {"mark": "2"}),
        ({"set_id": "A"}, {"set_id": "B"}),
        ({"stand_out_um": 1.0}, {"stand_out_um": 4.0}),
        ({"pairing": "universal"}, {"pairing": "single"}),
    ],
)
def test_cage_mark_set_stand_out_and_pairing_are_compared(before, after):
    found = compare(stack(angular("d", **before)), stack(angular("d", **after)))
    assert [one.code for one in found.differences] == ["replaced"]


@pytest.mark.parametrize("pattern", ["du", "ud"])
def test_a_part_that_moved_in_a_pair_is_named_and_not_the_whole_stack(pattern):
    """A pair reads the same upside down, so a nut that moved cannot show that the stack was turned over."""
    upper, lower = like(pattern)
    ring = Part(kind="snap_ring", ring="inner")
    found = Stack(motor=duty(), items=(shoulder(), upper, ring, lower, nut()))
    built = Stack(motor=duty(), items=(shoulder(), upper, lower, ring, nut()))
    comparison = compare(found, built)

    assert [(one.code, one.ref_found) for one in comparison.differences] == [("moved", "b")]
    assert comparison.upside_down == "no"


def test_blank_serial_numbers_are_no_identity():
    found = stack(angular("d", serial=" ", designation="A"), angular("u", serial="", designation="B"))
    built = stack(angular("d", serial="", designation="A"), angular("u", serial=" ", designation="B"))
    assert compare(found, built).same


@pytest.mark.parametrize("make", [marked, like])
def test_bearings_each_turned_over_where_they_stand_are_a_set_upside_down(make):
    found = make("ddu")
    built = [replace(one, wide_face="up" if one.wide_face == "down" else "down") for one in found]
    comparison = compare(stack(*found), stack(*built))

    assert comparison.upside_down == "in_place"
    assert [one.code for one in comparison.differences] == ["turned-over"] * 3
    first, second, *_ = comparison_answer(comparison)["differences"]
    assert first["message"].startswith("The whole bearing set is upside down.")
    assert second["message"] == "Bearing 1 is upside down."


def test_a_set_that_turned_with_its_spacer_between_a_shoulder_and_a_nut_that_stayed_is_upside_down():
    thick, thin = (
        Part(kind="spacer", ring="both", height_mm=20.0),
        Part(kind="shim", ring="both", height_mm=1.0),
    )
    a, b, c = marked("ddu")
    found, built = (a, thick, b, thin, c), turned_over((a, thick, b, thin, c))

    assert compare(stack(*found), stack(*built)).upside_down == "yes"


def test_a_pair_of_like_bearings_the_other_way_round_may_be_a_set_upside_down():
    comparison = compare(stack(*like("du")), stack(*like("ud")))

    assert comparison.upside_down == "possible_in_place"
    (difference,) = comparison_answer(comparison)["differences"]
    assert "Or the whole bearing set is upside down" in difference["message"]
    # Marks tell which it is.
    a, b = marked("du")
    assert compare(stack(a, b), stack(b, a)).upside_down == "no"


def test_a_difference_names_its_parts_and_writes_its_figures_with_units():
    spacer = Part(kind="spacer", ring="both", height_mm=12.0)
    one = angular(dynamic_rating_n=99_000.0, mark="1")
    other = angular(dynamic_rating_n=1_234_567.0, mark="1", cage_material="polyamide")
    found = stack(one, spacer)
    built = stack(other, replace(spacer, height_mm=12.5), angular("u", mark="2"))
    messages = [one["message"] for one in comparison_answer(compare(found, built))["differences"]]

    assert messages == [
        "Bearing 1 does not match bearing 1 of the second stack: cage material not known, now polyamide.",
        "The ratings of bearing 1 and bearing 1 of the second stack differ: dynamic rating "
        "99,000\u00a0N, now 1,235\u00a0kN.",
        "Part b does not match part b of the second stack: height 12\u00a0mm, now 12.5\u00a0mm.",
        "Bearing 2 was added.",
    ]
