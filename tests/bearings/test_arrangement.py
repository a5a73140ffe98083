import pytest

from bearings.engineering.arrangement import describe, direction_changes, mount_of
from bearings.engineering.quantities import Part
from tests.bearings.factories import angular, deep_groove, faces, stack, turned_over
from tests.reference.bearing_cases import ARRANGEMENTS


@pytest.mark.parametrize(("pattern", "relations", "down", "up", "source"), ARRANGEMENTS)
def test_faces_give_relations_and_directions(pattern, relations, down, up, source):
    arrangement = describe(mount_of(stack(*faces(pattern))))

    assert arrangement.relations == relations, source
    assert arrangement.carries_down == down
    assert arrangement.carries_up == up


def test_parts_between_bearings_do_not_change_a_relation():
    spacer = Part(kind="spacer", ring="both", height_mm=20.0)

    arrangement = describe(mount_of(stack(angular("d"), spacer, deep_groove(), angular("u"))))

    assert arrangement.relations == ("DB",)
    assert arrangement.both_ways == ("2",)


def test_turning_the_whole_stack_over_swaps_directions_and_keeps_back_to_back():
    pair = stack(*faces("ddu"))
    turned = describe(mount_of(stack(*turned_over(faces("ddu")))))

    assert describe(mount_of(pair)).relations == ("DT", "DB")
    assert turned.relations == ("DB", "DT")
    assert (turned.carries_down, turned.carries_up) == (("1",), ("2", "3"))


def test_direction_changes_are_counted_from_top_to_bottom():
    assert [direction_changes(mount_of(stack(*faces(p)))) for p in ("d", "ddu", "dud", "udud")] == [
        0,
        1,
        2,
        3,
    ]
