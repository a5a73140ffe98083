"""Candidates tried as a whole stack: what fits, what is refused and why, what cannot be said, and their order."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bearings.engineering.assessment import check_stack
from bearings.engineering.candidates import (
    Candidate,
    Match,
    Place,
    match_candidates,
    set_places,
    spacer_height_mm,
    stack_with,
)
from bearings.engineering.quantities import Bearing, Part, Stack
from bearings.engineering.ranking import ORDERS, ranked, shared_reasons
from tests.bearings.factories import (
    angular,
    deep_groove,
    duty,
    faces,
    guide,
    oil,
    settled,
    stack,
    thrust_roller,
)

# Set factor of two down and one up: 0.70 (common practice, no source), so 3 000 rpm of a single bearing allow 2 100.
FAST = 3_000.0


def bare(**values: Any) -> Bearing:
    """A bearing as a book holds it: without a face."""
    usual = {"limiting_speed_rpm": FAST, "maker": "Invented", "variant": "none", "cage_material": "brass"}
    return replace(angular(**{**usual, **values}), wide_face=None)


def whole(built: Stack) -> Stack:
    """Return a stack of which the job leaves nothing open: a candidate's own gaps alone can make it unproven."""
    built = settled(built)
    items = tuple(
        replace(item, fit_interference_um=10.0, set_id=None)
        if isinstance(item, Bearing) and item.type == "angular_contact_ball"
        else item
        for item in built.items
    )
    speed = built.motor.synchronous_speed_rpm or built.motor.rated_speed_rpm
    ratchet = built.motor.reverse_speed_rpm is None
    motor = replace(built.motor, non_reverse=ratchet, synchronous_speed_rpm=speed)
    return replace(built, items=items, motor=motor, lubrication=replace(oil(), heat_removed_w=9_000.0))


def place(pattern: Stack | None = None, **values: Any) -> Place:
    usual: dict[str, Any] = {"bore_mm": 100.0, "outside_diameter_mm": 215.0, "height_mm": 47.0}
    return Place(pattern=whole(pattern or stack(*faces("ddu"))), **{**usual, **values})


def tried(where: Place, bearing: Bearing) -> Match:
    return match_candidates(where, [Candidate(key=1, bearing=bearing)])[0]


def codes(match: Match) -> list[str]:
    return [reason.finding.code if reason.finding else reason.code for reason in match.refusals]


def missing(match: Match) -> list[str]:
    return [reason.not_checked.check if reason.not_checked else reason.code for reason in match.missing]


# The stack that is tried


def test_a_candidate_takes_every_place_of_the_set_with_its_face_and_without_marks():
    marked = [
        replace(one, mark=str(at), serial="S", set_id="X", stand_out_um=2.0)
        for at, one in enumerate(faces("ddu"))
    ]
    spacer = Part(kind="spacer", ring="both", height_mm=5.0)
    pattern = stack(marked[0], spacer, *marked[1:], guides=(guide(),))
    built = stack_with(pattern, bare(designation="X20"))
    new = [item for item in built.items if isinstance(item, Bearing)]
    assert [one.wide_face for one in new] == ["down", "down", "up"]
    assert {one.designation for one in new} == {"X20"}
    # How the set is paired is the pattern's; what was measured and marked is the old bearings' own.
    assert {(one.mark, one.serial, one.set_id, one.stand_out_um) for one in new} == {(None, None, "X", None)}
    assert [item for item in built.items if isinstance(item, Part)] == [
        item for item in pattern.items if isinstance(item, Part)
    ]
    assert (built.guides, built.motor, built.lubrication) == (
        pattern.guides,
        pattern.motor,
        pattern.lubrication,
    )


def test_springs_stay_in_the_mount_when_the_bearing_on_them_is_replaced():
    pattern = stack(thrust_roller(spring_force_n=4_200.0), guides=(guide("up"),))
    other = replace(thrust_roller(designation="29428 X"), wide_face=None)
    built = stack_with(pattern, other)
    assert [item.spring_force_n for item in built.items if isinstance(item, Bearing)] == [4_200.0]


def test_bearings_of_another_kind_beside_the_set_stay_as_they_are():
    pattern = stack(thrust_roller("d"), angular("u"))
    assert set_places(pattern) == (1,)
    built = stack_with(pattern, replace(thrust_roller(designation="29428 X"), wide_face=None))
    assert [item.designation for item in built.items if isinstance(item, Bearing)] == ["29428 X", "7320"]


def test_without_a_one_way_bearing_the_deep_groove_bearings_are_the_set():
    assert set_places(stack(deep_groove())) == (1,)
    assert set_places(Stack(motor=duty(), items=(Part(kind="spacer"),))) == ()


# What fits, what is refused


def test_a_fast_enough_bearing_of_the_same_size_fits_with_its_figures():
    match = tried(place(), bare())
    assert (match.verdict, match.refusals, match.missing, match.warnings) == ("fits", (), (), ())
    assert match.permissible_rpm == pytest.approx(2_100.0)
    # 2 100 / 1 780 - 1, by hand
    assert match.margin == pytest.approx(0.17978, abs=1e-5)
    assert match.margin_at == "rated"
    assert match.height_difference_mm == 0.0
    answer = check_stack(stack_with(place().pattern, bare()))
    assert (match.l10h, match.l10mh) == (answer.life.stack_l10h, answer.life.stack_l10mh)
    assert match.static_safety == min(row.safety for row in answer.static if row.safety)


def test_a_margin_below_the_policy_fits_with_a_warning():
    match = tried(place(), bare(limiting_speed_rpm=2_700.0))
    assert match.verdict == "fits"
    assert [reason.finding.code for reason in match.warnings if reason.finding] == ["speed-margin"]


def test_a_bearing_that_is_too_slow_is_refused_by_the_checkers_own_finding():
    match = tried(place(), bare(limiting_speed_rpm=2_100.0))
    assert (match.verdict, codes(match)) == ("refused", ["speed-margin"])
    # 2 100 x 0.70 = 1 470 rpm
    assert match.permissible_rpm == pytest.approx(1_470.0)


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"bore_mm": 100.0125}, "bore-differs"),  # 3 15/16 in
        ({"outside_diameter_mm": 200.0}, "outside-diameter-differs"),
        ({"contact_angle_deg": 25.0}, "contact-angle-differs"),
        ({"height_mm": 51.0}, "set-too-high"),
        ({"height_mm": 46.0}, "set-too-low"),
        ({"dynamic_rating_n": 60_000.0}, "life"),
        ({"static_rating_n": 4_000.0}, "static-safety"),
    ],
)
def test_each_thing_that_does_not_fit_is_named(values, code):
    match = tried(place(), bare(**values))
    assert match.verdict == "refused"
    assert code in codes(match)


def test_a_size_typed_in_inches_to_four_decimals_is_the_same_size():
    # 100 mm = 3.9370 in, 215 mm = 8.4646 in; an inch is 25.4 mm
    match = tried(place(bore_mm=3.9370 * 25.4, outside_diameter_mm=8.4646 * 25.4), bare())
    assert match.verdict == "fits"


def test_a_bearing_of_another_type_is_refused_for_that_and_not_put_where_it_cannot_stand():
    match = tried(place(), deep_groove(bore_mm=100.0, outside_diameter_mm=215.0, height_mm=47.0))
    assert (match.verdict, codes(match), match.permissible_rpm) == ("refused", ["type-differs"], None)
    assert match.refusals[0].params == {"found": "deep_groove_ball", "asked": "angular_contact_ball"}


def test_spacers_make_up_a_set_that_is_too_low_as_far_as_the_tolerance_goes():
    # three bearings, each 1 mm lower: the set lacks 3 mm
    assert tried(place(tolerance_mm=3.0), bare(height_mm=46.0)).verdict == "fits"
    match = tried(place(tolerance_mm=2.9), bare(height_mm=46.0))
    assert (match.refusals[0].code, match.refusals[0].value, match.refusals[0].limit) == (
        "set-too-low",
        3.0,
        2.9,
    )
    assert match.refusals[0].params == {"count": 3, "set_mm": 138.0, "space_mm": 141.0}


def test_a_set_that_is_too_high_fits_only_where_as_much_comes_off_the_spacers():
    high = bare(height_mm=48.0)
    assert codes(tried(place(tolerance_mm=10.0), high)) == ["set-too-high"]
    spacer = Part(kind="spacer", ring="both", height_mm=4.0)
    with_spacer = stack(*faces("dd"), spacer, *faces("u"))
    assert spacer_height_mm(with_spacer) == 4.0
    assert tried(place(with_spacer, tolerance_mm=10.0), high).verdict == "fits"
    assert codes(tried(place(with_spacer, tolerance_mm=2.0), high)) == ["set-too-high"]


def test_a_pattern_that_carries_nothing_down_refuses_every_candidate_alike():
    where = place(stack(*faces("uu")))
    matches = match_candidates(
        where, [Candidate(key=n, bearing=bare(limiting_speed_rpm=FAST + n)) for n in (1, 2)]
    )
    assert {one.verdict for one in matches} == {"refused"}
    shared = shared_reasons(matches)
    assert "down-thrust-not-carried" in [reason.finding.code for reason in shared if reason.finding]


# What cannot be said


@pytest.mark.parametrize(
    ("values", "check"),
    [
        ({"limiting_speed_rpm": None}, "speed"),
        ({"dynamic_rating_n": None}, "life"),
        ({"static_rating_n": None}, "capacity"),
        ({"height_mm": None}, "height-unknown"),
        ({"outside_diameter_mm": None}, "outside-diameter-unknown"),
        ({"bore_mm": None}, "bore-unknown"),
        ({"contact_angle_deg": None}, "contact-angle-unknown"),
    ],
)
def test_a_figure_that_the_book_lacks_is_never_a_fit(values, check):
    match = tried(place(), bare(**values))
    assert match.verdict == "not_checked"
    assert check in missing(match)


def test_a_reverse_speed_needs_a_limiting_speed_of_the_candidate():
    """A speed for oil does as well; one below backspin stops."""
    with_reverse = place(stack(*faces("ddu"), motor=duty(reverse_speed_rpm=2_200.0)))
    assert tried(with_reverse, bare(limiting_speed_rpm=None, oil_speed_rpm=FAST)).verdict == "fits"
    match = tried(
        place(stack(*faces("ddu"), motor=duty(reverse_speed_rpm=3_200.0))),
        bare(limiting_speed_rpm=None, oil_speed_rpm=FAST),
    )
    assert (match.verdict, codes(match)) == ("refused", ["speed-margin"])


def test_without_a_thrust_nothing_fits_because_no_life_is_known():
    match = tried(place(stack(*faces("ddu"), motor=duty(down_thrust_n=None))), bare())
    assert match.verdict == "not_checked"
    assert "life" in missing(match)
    assert match.margin is not None


def test_an_envelope_without_outside_diameter_or_height_leaves_them_open():
    match = tried(place(outside_diameter_mm=None, height_mm=None), bare())
    assert (match.verdict, missing(match)) == (
        "not_checked",
        ["outside-diameter-not-asked", "height-not-asked"],
    )
    assert match.height_difference_mm is None


def test_a_bearing_with_a_reference_speed_alone_stands_behind_those_with_a_limit():
    match = tried(place(), bare(limiting_speed_rpm=None, reference_speed_rpm=FAST))
    assert (match.verdict, match.lacks_data) == ("not_checked", True)
    assert "speed" in missing(match)


def test_a_refusal_weighs_more_than_what_is_missing():
    match = tried(place(), bare(bore_mm=90.0, limiting_speed_rpm=None))
    assert match.verdict == "refused"
    assert "speed" in missing(match)


# Once for like figures


def test_like_figures_are_checked_once_whatever_they_are_called(monkeypatch):
    checked = []

    def count(one: Stack):
        checked.append(one)
        return check_stack(one)

    monkeypatch.setattr("bearings.engineering.candidates.check_stack", count)
    names = [bare(note="A", source="first"), bare(note="B", source="second")]
    matches = match_candidates(place(), [Candidate(key=n, bearing=one) for n, one in enumerate(names)])
    assert len(checked) == 1
    assert [match.candidate.bearing.note for match in matches] == ["A", "B"]
    assert matches[0].l10h == matches[1].l10h


# Order


def named(*lines: tuple[str, dict[str, Any]]) -> list[Match]:
    candidates = [
        Candidate(key=n, bearing=bare(designation=name, **values)) for n, (name, values) in enumerate(lines)
    ]
    return match_candidates(place(), candidates)


def order_of(matches: list[Match], order: Any = "margin") -> str:
    return "".join(match.candidate.bearing.designation or "" for match in ranked(matches, order))


def test_clean_fits_stand_before_warned_ones_then_the_unchecked_then_the_refused():
    matches = named(
        ("r", {"bore_mm": 90.0, "limiting_speed_rpm": 9_000.0}),
        ("n", {"dynamic_rating_n": None, "limiting_speed_rpm": 9_000.0}),
        ("w", {"limiting_speed_rpm": 2_700.0}),
        ("c", {}),
    )
    for order in ORDERS:
        assert order_of(matches, order) == "cwnr"


def test_the_greatest_margin_stands_first_then_the_longest_life():
    matches = named(
        ("s", {"limiting_speed_rpm": 2_900.0}),
        ("f", {}),
        ("l", {"dynamic_rating_n": 230_000.0}),
    )
    assert order_of(matches) == "lfs"
    assert order_of(matches, "life") == "lfs"


def test_a_person_can_put_life_static_safety_or_height_first():
    matches = match_candidates(
        place(tolerance_mm=6.0),
        [
            Candidate(key=1, bearing=bare(designation="l", dynamic_rating_n=222_000.0, height_mm=46.0)),
            Candidate(key=2, bearing=bare(designation="s", static_rating_n=214_000.0, height_mm=45.0)),
            Candidate(key=3, bearing=bare(designation="h", limiting_speed_rpm=2_900.0)),
        ],
    )
    assert order_of(matches, "life")[0] == "l"
    assert order_of(matches, "static")[0] == "s"
    assert order_of(matches, "height") == "hls"


def test_of_equal_figures_the_newer_edition_stands_first():
    candidates = [Candidate(key=1, bearing=bare(), older=True), Candidate(key=2, bearing=bare())]
    assert [match.candidate.key for match in ranked(match_candidates(place(), candidates))] == [2, 1]


BEARINGS = st.builds(
    bare,
    bore_mm=st.sampled_from([100.0, 90.0, None]),
    outside_diameter_mm=st.sampled_from([215.0, None]),
    height_mm=st.sampled_from([47.0, 46.0, 50.0, None]),
    contact_angle_deg=st.sampled_from([40.0, 25.0, None]),
    dynamic_rating_n=st.none() | st.floats(1_000.0, 1e6),
    static_rating_n=st.none() | st.floats(1_000.0, 1e6),
    limiting_speed_rpm=st.none() | st.floats(500.0, 10_000.0),
    oil_speed_rpm=st.none() | st.floats(500.0, 10_000.0),
    reference_speed_rpm=st.none() | st.floats(500.0, 10_000.0),
    ball_count=st.none() | st.integers(6, 20),
)
DUTIES = st.builds(
    duty,
    down_thrust_n=st.none() | st.floats(0.0, 200_000.0),
    up_thrust_n=st.none() | st.floats(0.0, 20_000.0),
    reverse_speed_rpm=st.none() | st.floats(500.0, 4_000.0),
)
PATTERNS = st.sampled_from(["d", "dd", "du", "ddu", "dduu", "u"])


@given(st.lists(BEARINGS, min_size=1, max_size=4), DUTIES, PATTERNS)
def test_the_stack_of_a_candidate_that_fits_has_no_stop_and_its_speed_life_and_size_are_known(
    found, motor, pattern
):
    where = place(stack(*faces(pattern), motor=motor, lubrication=oil()), tolerance_mm=3.0)
    for match in match_candidates(where, [Candidate(key=n, bearing=one) for n, one in enumerate(found)]):
        if match.verdict != "fits":
            assert match.refusals or match.missing
            continue
        answer = check_stack(stack_with(where.pattern, match.candidate.bearing))
        assert not answer.stopped
        assert answer.speed.complete
        assert answer.life.stack_l10h is not None
        assert match.candidate.bearing.bore_mm == 100.0
        assert match.candidate.bearing.outside_diameter_mm == 215.0
        assert match.candidate.bearing.height_mm is not None


@given(st.lists(BEARINGS, min_size=2, max_size=4), st.sampled_from(ORDERS))
def test_the_ranking_does_not_depend_on_the_order_of_the_book(found, order):
    candidates = [Candidate(key=n, bearing=one) for n, one in enumerate(found)]
    matches = match_candidates(place(tolerance_mm=3.0), candidates)
    first = [match.candidate.key for match in ranked(matches, order)]
    assert sorted(first) == list(range(len(found)))
    for shuffled in permutations(matches):
        assert [match.candidate.key for match in ranked(shuffled, order)] == first
