"""What is said of a stack without a rated speed is what is said of it at any."""

from __future__ import annotations

from typing import Any

import pytest

from bearings.public import Finding, StackFileError, check_stack, check_without_speed, parse_stack
from bearings.without_speed import TOLD

MOTORS: list[dict[str, Any]] = [
    {},
    {"down_thrust_n": 30_000.0},
    {"down_thrust_n": -30_000.0, "rotor_weight_n": 5_000.0},
    {"down_thrust_n": 30_000.0, "rotor_weight_n": 5_000.0, "up_thrust_n": 9_000.0},
    {"mounting": "horizontal", "down_thrust_n": -3_000.0},
]


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
    found = check_stack(parse_stack(stack_file(faces, {"rated_speed_rpm": rpm, **motor}))).findings
    return tuple(one for one in found if one.code in TOLD)


@pytest.mark.parametrize("motor", MOTORS)
@pytest.mark.parametrize("faces", ["up", "down", "down up", "up up"])
def test_what_is_told_without_a_speed_is_told_at_every_speed(faces, motor):
    without = told(faces, **motor)
    for rpm in (590.0, 3_560.0):
        at = at_speed(rpm, faces, motor)
        assert [(one.code, one.severity, one.ref) for one in at] == [
            (one.code, one.severity, one.ref) for one in without
        ]
        assert [one.value for one in at] == pytest.approx([one.value for one in without])


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
