"""Which item of one stack is taken for which of the other, and what is told of the ones that moved."""

from dataclasses import replace

import pytest

from bearings.engineering.comparison import Comparison, compare
from bearings.engineering.quantities import Item, Part, Stack
from tests.bearings.factories import angular, deep_groove, duty, nut, thrust_roller

SPACER = Part(kind="spacer", ring="both", height_mm=12.0)
A, B, C, D = (angular("d", designation=name) for name in "ABCD")


def compared(found: tuple[Item, ...], built: tuple[Item, ...]) -> Comparison:
    return compare(Stack(motor=duty(), items=found), Stack(motor=duty(), items=built))


def told(found: tuple[Item, ...], built: tuple[Item, ...]) -> list[tuple[str, str | None, str | None]]:
    return [(one.code, one.ref_found, one.ref_built) for one in compared(found, built).differences]


@pytest.mark.parametrize(
    ("built", "moved", "between"),
    [
        ((B, C, D, A), ("1", "4"), ("3", "")),
        ((D, A, B, C), ("4", "1"), ("", "2")),
        ((B, C, A, D), ("1", "3"), ("2", "4")),
    ],
    ids=["to the bottom", "to the top", "between two others"],
)
def test_a_moved_part_is_told_with_the_parts_between_which_it_stands_now(built, moved, between):
    (difference,) = compared((A, B, C, D), built).differences
    assert (difference.code, difference.ref_found, difference.ref_built) == ("moved", *moved)
    assert (difference.params["above"], difference.params["below"]) == between


def test_two_bearings_of_one_serial_number_are_never_both_the_one_that_was_built():
    upper, lower = angular("d", serial="7"), angular("u", serial="7")
    assert told((upper, lower), (upper,)) == [("missing", "2", None)]


def test_two_like_parts_are_never_both_the_one_that_was_built():
    assert told((SPACER, SPACER, nut()), (nut(), SPACER)) == [("moved", "a", "b"), ("missing", "b", None)]


def test_a_part_added_above_a_bearing_of_known_identity_leaves_the_part_below_it_in_place():
    bearing = angular("d", serial="2")
    assert told((bearing, SPACER), (SPACER, bearing, SPACER)) == [("added", None, "a")]


def test_a_bearing_that_went_to_the_bottom_does_not_hide_that_another_one_was_turned_over():
    went, stayed = angular("d", serial="1"), angular("d", serial="3")
    found = (went, SPACER, angular("u", designation="B"), SPACER, stayed)
    built = (angular("d", designation="B"), SPACER, stayed, SPACER, went)
    assert told(found, built) == [("moved", "1", "3"), ("moved", "a", "b"), ("turned-over", "2", "1")]


SET_S, SET_T = angular("d", set_id="S"), angular("u", set_id="T")


@pytest.mark.parametrize(
    ("found", "built", "expected"),
    [
        (
            (deep_groove(), SET_T),
            (replace(SET_T, wide_face="down", dynamic_rating_n=1e5),),
            [("turned-over", "2", "1"), ("rating-changed", "2", "1"), ("missing", "1", None)],
        ),
        (
            (SET_T, SET_S),
            (replace(SET_T, wide_face="down"),),
            [("turned-over", "1", "1"), ("missing", "2", None)],
        ),
        (
            (SET_T, replace(SET_S, designation="B")),
            (replace(SET_S, designation="B", wide_face="up"),),
            [("turned-over", "2", "1"), ("missing", "1", None)],
        ),
    ],
    ids=["beside a bearing of no set", "beside one of another set", "beside another designation"],
)
def test_a_bearing_of_a_set_is_followed_by_its_set_though_something_on_it_changed(found, built, expected):
    """A reading with as few differences would call it another bearing, and hide that it was turned over."""
    assert told(found, built) == expected


def test_a_turned_bearing_is_found_beside_a_new_one():
    new = angular("d", designation="B", dynamic_rating_n=1e5)
    assert told((A,), (new, replace(A, wide_face="up"))) == [("turned-over", "1", "2"), ("added", None, "1")]


def test_a_bearing_turned_over_and_of_another_rating_is_not_one_missing_and_another_added():
    assert told((A,), (replace(A, wide_face="up", dynamic_rating_n=1e5),)) == [
        ("turned-over", "1", "1"),
        ("rating-changed", "1", "1"),
    ]


def test_two_unlike_bearings_on_both_sides_of_a_kept_one_are_one_missing_and_one_added():
    kept = deep_groove(serial="7")
    assert told((deep_groove(), kept), (kept, thrust_roller())) == [
        ("missing", "1", None),
        ("added", None, "2"),
    ]


def test_a_spacer_whose_height_was_measured_pairs_before_one_whose_height_was_not():
    measured = replace(SPACER, ring="inner")
    assert told((SPACER,), (replace(measured, height_mm=None), measured)) == [
        ("replaced", "a", "b"),
        ("added", None, "a"),
    ]


def test_a_bearing_without_a_wide_face_turns_with_the_stack():
    upside_down = (deep_groove(), replace(A, wide_face="up"))
    assert compared((A, deep_groove()), upside_down).upside_down == "yes"


def test_a_stack_upside_down_with_a_part_taken_out_is_told_part_by_part():
    found = (nut(), angular("u", designation="B"), angular("d", designation="A"))
    built = (angular("u", designation="A"), angular("d", designation="B"))
    assert compared(found, built).upside_down == "no"
    assert ("missing", "a", None) in told(found, built)
