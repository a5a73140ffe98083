"""What is said of a stack without a rated speed is what is said of it at any, and nothing passes for want of it."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from bearings.engineering.subjects import directions
from bearings.public import Finding, StackFileError, check_stack, check_without_speed, parse_stack
from bearings.stack_file import parse_without_speed
from tests.bearings.factories import angular, settled, stack
from tests.bearings.law.consistent_stacks import consistent_stack
from tests.bearings.law.removing import broken, removable, with_value, without

SPEED = "motor.rated_speed_rpm"

MOTORS: list[dict[str, Any]] = [
    {},
    {"down_thrust_n": 30_000.0},
    {"down_thrust_n": -30_000.0, "rotor_weight_n": 5_000.0},
    {"down_thrust_n": 30_000.0, "rotor_weight_n": 5_000.0, "up_thrust_n": 9_000.0},
    {"mounting": "horizontal", "down_thrust_n": -3_000.0},
]

NO_SPEED = {
    *directions.SUBJECT.codes, "envelope", "mixed-set", "not-a-matched-arrangement", "spacer-pair",
    "stand-out-mismatch", "thrust-through-snap-ring",
}  # fmt: skip


def stack_file(faces: str, motor: dict[str, Any]) -> dict[str, Any]:
    items = [
        {
            "kind": "bearing", "type": "angular_contact_ball", "designation": "7322", "bore_mm": 110,
            "outside_diameter_mm": 240, "contact_angle_deg": 40, "wide_face": face,
        }
        for face in faces.split()
    ]  # fmt: skip
    return {"stack_file": 2, "motor": motor, "items": items}


def told(faces: str, **motor: Any) -> tuple[Finding, ...]:
    return check_without_speed(stack_file(faces, motor)).findings


def at_speed(rpm: float, faces: str, motor: dict[str, Any]) -> tuple[Finding, ...]:
    return check_stack(parse_stack(stack_file(faces, {"rated_speed_rpm": rpm, **motor}))).findings


@pytest.mark.parametrize("motor", MOTORS)
@pytest.mark.parametrize("faces", ["up", "down", "down up", "up up"])
def test_what_is_told_without_a_speed_is_told_at_every_speed(faces, motor):
    without = {(one.code, one.severity, one.ref): one.value for one in told(faces, **motor)}
    for rpm in (590.0, 3_560.0):
        at = {(one.code, one.severity, one.ref): one.value for one in at_speed(rpm, faces, motor)}
        assert without.keys() <= at.keys()
        assert {key: at[key] for key in without} == pytest.approx(without)
        assert {key for key in at if key[0] in NO_SPEED} == {key for key in without if key[0] in NO_SPEED}


@pytest.mark.parametrize("seed", range(60))
def test_no_verdict_is_better_without_the_rated_speed(seed):
    """Taken from a whole stack alone, then together with a few other fields."""
    random = Random(f"rated speed {seed}")
    whole = consistent_stack(random)
    known = check_stack(whole)
    for taken in ([], random.sample(removable(whole), 3)):
        less = [("motor.rated_speed_rpm", None), *taken]
        assert broken(known, check_stack(without(whole, less)), less) == []


NEEDS_SPEED = {"life", "speed", "skidding", "lubrication", "heat", "springs", "guides"}


@pytest.mark.parametrize("line", [True, False])
def test_what_needs_a_speed_asks_for_it_and_the_rest_is_judged(line):
    """On a drive the thrust at its speeds hangs on the rated one, so static safety asks for it too."""
    whole = settled(stack(angular("d"), angular("d"), angular("u")))
    whole = with_value(whole, "motor.fixed_speed", None, line or None)
    found = check_stack(with_value(whole, "motor.synchronous_speed_rpm", None, None))
    less = check_stack(without(whole, [(SPEED, None), ("motor.synchronous_speed_rpm", None)]))
    asked = {one.subject for one in less.subjects if any(gap.field == SPEED for gap in one.missing)}
    assert asked == ({one.subject for one in less.subjects if one.applies} & NEEDS_SPEED) | (
        set() if line else {"capacity", "set"}
    )
    assert all(one.verdict == "not_proven" for one in less.subjects if one.subject in asked)
    verdicts = {one.subject: one.verdict for one in found.subjects}
    assert all(one.verdict == verdicts[one.subject] for one in less.subjects if one.subject not in asked)
    assert less.headline.verdict == "not_proven"


def test_a_stop_by_another_speed_that_is_known_stands_without_the_rated_one():
    slow = angular("d", limiting_speed_rpm=1_000.0)
    whole = with_value(settled(stack(slow, slow)), "motor.synchronous_speed_rpm", None, 1_800.0)
    less = check_stack(without(whole, [(SPEED, None)]))
    assert ("speed-margin", "stop") in {(one.code, one.severity) for one in less.findings}


def test_up_thrust_that_grows_with_a_drive_is_open_without_the_rated_speed():
    """Net thrust stays down at rated speed, and nobody knows whether it does at the drive's highest."""
    lifting = {"down_thrust_n": -3_000.0, "rotor_weight_n": 5_000.0, "up_thrust_n": 0.0}
    for drive, verdict in (({"fixed_speed": True}, "ok"), ({}, "not_proven")):
        found = check_stack(parse_without_speed(stack_file("down", {**lifting, **drive})))
        assert next(one.verdict for one in found.subjects if one.subject == "directions") == verdict


def test_every_part_of_an_answer_stays_finite_without_a_speed():
    whole = settled(stack(angular("d"), angular("d"), angular("u")))
    less = check_stack(without(whole, [(SPEED, None)]))
    assert less.settles is not None
    assert {one.speed_rpm for one in less.judged_cases if one.name == "running"} == {None}
    assert less.life.stack_l10h is None
    assert less.thermal.friction_w is None
    assert list(less.working)


@pytest.mark.parametrize(
    "speeds",
    [
        {"maximum_speed_rpm": 2_000.0},
        {"synchronous_speed_rpm": 1_800.0},
        {"minimum_speed_rpm": 600.0, "maximum_speed_rpm": 2_000.0, "reverse_speed_rpm": 2_100.0},
    ],
)
def test_other_speeds_of_the_motor_change_no_thrust_that_is_told(speeds):
    duty = {"down_thrust_n": 30_000.0, "rotor_weight_n": 5_000.0}
    assert told("up", **duty)
    assert told("up", **duty, **speeds) == told("up", **duty)


def test_a_thrust_that_is_given_for_a_speed_of_the_drive_counts():
    duty = {"down_thrust_n": 30_000.0, "rotor_weight_n": 5_000.0}
    lifted = {"maximum_speed_rpm": 2_000.0, "maximum_speed_down_thrust_n": -20_000.0}
    codes = {(one.code, one.severity, one.value) for one in told("down", **duty, **lifted)}
    assert ("up-thrust-not-carried", "stop", 15_000.0) in codes


def test_other_mistakes_than_the_speed_are_refused():
    with pytest.raises(StackFileError):
        told("sideways")
    with pytest.raises(StackFileError):
        check_without_speed({"stack_file": 2, "motor": {}, "items": []})
