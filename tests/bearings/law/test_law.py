"""Unknown is never better than known: the law on random stacks, and on those that once broke it."""

from __future__ import annotations

from random import Random

import pytest

from bearings.engineering.assessment import check_stack
from bearings.stack_file import fields as table
from bearings.stack_file import unknowns
from tests.bearings.factories import angular, oil, settled, stack
from tests.bearings.law.removing import broken, lost_the_excuse, try_stack, without

CHUNKS = 50
STACKS_IN_CHUNK = 40


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_a_verdict_never_gets_better_by_data_that_are_taken_away(chunk: int) -> None:
    """2 000 stacks whose values lie inside their ranges; of each two fields singly and one group are removed."""
    found = []
    for number in range(STACKS_IN_CHUNK):
        found += try_stack(Random(f"law {chunk} {number}"), 2, 1)
    assert found == []


@pytest.mark.parametrize("seed", range(12))
def test_no_field_of_a_stack_is_better_unknown(seed: int) -> None:
    """Every ranged and needed field of a few stacks, singly and in many groups."""
    assert try_stack(Random(f"every field {seed}"), None, 10) == []


def test_only_the_excuse_of_bearings_made_to_run_alone_is_outside_the_law():
    """A set of such bearings warns with every face offset measured, stops with one of them or all not measured."""
    items = (
        angular("d", pairing="single", stand_out_um=2.0),
        angular("d", pairing="single", stand_out_um=0.0),
    )
    whole = settled(stack(*items))
    verdicts = []
    for taken in ([], [("stand_out_um", "2")], [("stand_out_um", "1"), ("stand_out_um", "2")]):
        found = check_stack(without(whole, taken))
        assert broken(check_stack(whole), found, taken) == []
        verdicts.append(next(one.verdict for one in found.subjects if one.subject == "set"))
    assert verdicts == ["warn", "stop", "stop"]
    # The same figures taken from bearings ground to be paired make nothing of them worse: there is no exception.
    paired = settled(stack(angular("d", stand_out_um=2.0), angular("d")))
    assert not lost_the_excuse(check_stack(without(paired, [("stand_out_um", "1")])), [("stand_out_um", "1")])


def test_every_field_says_what_becomes_of_a_verdict_while_it_is_unknown() -> None:
    """The published lists of ranged, needed, alternative, assumed and exempt fields hold every field, each once."""
    lists = (unknowns.RANGED, unknowns.NEEDED, unknowns.ALTERNATIVE, unknowns.ASSUMED, unknowns.EXEMPT)
    names = [name for one in lists for name in one]
    assert len(names) == len(set(names))
    fields = {name for room in table.ROOMS.values() for name in room}
    assert fields - set(names) == set()


def test_the_lists_of_exempt_and_alternative_fields_are_those_that_are_published() -> None:
    """A field may not leave the law by being moved to a list that the law does not bind."""
    assert set(unknowns.ALTERNATIVE) == {
        "limiting_speed_rpm", "oil_speed_rpm", "reference_speed_rpm", "contamination_factor", "contamination",
        "cleanliness", "heat_removed_w", "oil_flow_l_min", "oil_rise_k", "temperature_limit_c",
    }  # fmt: skip
    texts_and_marks = {"cage", "source", "serial", "mark", "note"}
    demands = {"required_l10h", "reliability_percent", "duty"}
    drive = {"minimum_speed_down_thrust_n", "maximum_speed_down_thrust_n"}
    limits = {*table.POLICY, *table.SET_FACTORS}
    structure = {"kind", "type", "rating_basis"}
    notes_alone = {"guide_temperature_c", "distance_mm"}
    assert set(unknowns.EXEMPT) == texts_and_marks | demands | drive | limits | structure | notes_alone


def test_both_joints_where_oil_flows_meet_are_told_while_something_is_unknown() -> None:
    """Back to back twice in one stack: what nobody entered takes neither note away."""
    faces = ("d", "u", "d", "u")
    found = {}
    for oil_c in (65.0, None):
        open_stack = stack(*(angular(face) for face in faces), lubrication=oil(temperature_c=oil_c))
        notes = [one for one in check_stack(open_stack).findings if one.code == "opposed-oil-flow"]
        found[oil_c] = [one.refs for one in notes]
    assert found[None] == found[65.0] == [("1", "2"), ("2", "3"), ("3", "4")]
