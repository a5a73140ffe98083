"""From the plate to the blocks of the stack file."""

from __future__ import annotations

import pytest

from bearings.public import field_spec, parse_stack
from repairs.motors.duty import duty_of, lubrication_of
from repairs.motors.models import Motor
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.plausibility import remarks


def motor(build=Motor.Build.VERTICAL_HOLLOW, **values) -> Motor:
    entries = {key: {"state": "read", "typed": str(si), "unit": "", "si": si} for key, si in values.items()}
    return Motor(build=build, nameplate=entries)


FULL = {
    "rated_speed_rpm": 1780, "frequency_hz": 60, "down_thrust_n": 30000, "maximum_down_thrust_n": 36000,
    "up_thrust_n": 9000, "rotor_weight_n": 2200, "radial_load_n": 800, "maximum_speed_rpm": 1900,
    "reverse_speed_rpm": 2500, "non_reverse": "no", "required_life_h": 40000, "up_thrust_duration": "momentary",
}  # fmt: skip
OIL = {
    "lubrication": "oil_bath", "oil_iso_vg": 32, "oil_temperature_c": 70, "cleanliness": "normal_cleanliness",
    "oil_viscosity_index": 100, "cooler_flow_l_min": 12, "oil_rise_k": 10, "mount_ambient_c": 35,
    "heat_removed_w": 900, "external_heat_w": 120, "oil_cleanliness_code": "bath_17_14",
}  # fmt: skip


def test_a_whole_plate_gives_a_whole_duty():
    assert duty_of(motor(**FULL)) == {
        "mounting": "vertical", "rated_speed_rpm": 1780, "synchronous_speed_rpm": 1800.0, "maximum_speed_rpm": 1900,
        "reverse_speed_rpm": 2500, "up_thrust_n": 9000, "rotor_weight_n": 2200, "radial_load_n": 800,
        "down_thrust_n": 30000.0, "maximum_down_thrust_n": 36000.0, "non_reverse": False, "required_l10h": 40000,
        "up_thrust_duty": "momentary",
    }  # fmt: skip


def test_both_blocks_are_accepted_by_the_reader_of_stack_files():
    nut = {"kind": "lock_nut", "ring": "inner"}
    whole = motor(**FULL, **OIL)
    data = {"stack_file": 2, "motor": duty_of(whole), "lubrication": lubrication_of(whole), "items": [nut]}
    stack = parse_stack(data)
    assert stack.motor.down_thrust_n == 30000
    assert stack.lubrication is not None
    assert stack.lubrication.iso_vg == 32
    assert (stack.lubrication.oil_rise_k, stack.lubrication.ambient_c) == (10, 35)
    assert (stack.lubrication.heat_removed_w, stack.lubrication.external_heat_w) == (900, 120)
    assert stack.lubrication.cleanliness == "bath_17_14"


def test_every_cleanliness_on_the_plate_is_one_that_stack_files_know():
    for key, name in (("oil_cleanliness_code", "cleanliness"), ("cleanliness", "contamination")):
        assert {value for value, _words in BY_KEY[key].choices} == set(
            field_spec("lubrication", name).choices
        )


def test_how_long_up_thrust_lasts_is_one_that_stack_files_know():
    choices = {value for value, _words in BY_KEY["up_thrust_duration"].choices}
    assert choices == set(field_spec("motor", "up_thrust_duty").choices)


def test_what_was_not_read_stays_away():
    assert duty_of(motor()) == {"mounting": "vertical"}
    assert duty_of(motor(build=Motor.Build.HORIZONTAL)) == {"mounting": "horizontal"}
    assert lubrication_of(motor()) == {}


@pytest.mark.parametrize(("weight", "external"), [(2200, 27800.0), (40000, 0.0)])
def test_a_total_thrust_loses_the_rotor(weight, external):
    duty = duty_of(motor(thrust_basis="total", down_thrust_n=30000, rotor_weight_n=weight))
    assert duty["down_thrust_n"] == external


def test_a_total_thrust_without_a_rotor_weight_is_unknown():
    assert "down_thrust_n" not in duty_of(motor(thrust_basis="total", down_thrust_n=30000))


def test_an_inferred_value_counts_and_an_illegible_one_does_not():
    half = motor(rated_speed_rpm=1780)
    half.nameplate["down_thrust_n"] = {"state": "inferred", "typed": "30", "unit": "kN", "si": 30000.0}
    half.nameplate["up_thrust_n"] = {"state": "illegible", "typed": "", "unit": "", "si": None}
    duty = duty_of(half)
    assert duty["down_thrust_n"] == 30000
    assert "up_thrust_n" not in duty


DUTY = {
    "duty_1_percent": 70, "duty_1_speed_rpm": 1780, "duty_1_thrust_n": 30000,
    "duty_3_percent": 30, "duty_3_speed_rpm": 1200, "duty_3_thrust_n": -500,
}  # fmt: skip


def test_parts_of_the_running_time_become_a_duty():
    parts = duty_of(motor(**FULL, **DUTY))["duty"]
    assert parts == [
        {"share": 0.7, "speed_rpm": 1780.0, "down_thrust_n": 30000.0},
        {"share": 0.3, "speed_rpm": 1200.0, "down_thrust_n": -500.0},
    ]
    nut = {"kind": "lock_nut", "ring": "inner"}
    stack = parse_stack({"stack_file": 2, "motor": duty_of(motor(**FULL, **DUTY)), "items": [nut]})
    assert stack.motor.duty is not None
    assert sum(point.share for point in stack.motor.duty) == pytest.approx(1)


@pytest.mark.parametrize(
    "change", [{"duty_3_percent": 20}, {"duty_3_speed_rpm": None}, {"duty_2_percent": 1}]
)
def test_a_duty_that_is_not_whole_stays_away_and_is_told_of(change):
    half = motor(**{key: value for key, value in {**FULL, **DUTY, **change}.items() if value is not None})
    assert "duty" not in duty_of(half)
    told = [one.text for one in remarks(half) if one.severity == "not_checked"]
    assert any("Life over the duty cycle" in text for text in told)
    assert not any("Life over the duty cycle" in one.text for one in remarks(motor(**FULL, **DUTY)))


def test_a_warmer_shaft_reaches_the_checker():
    assert duty_of(motor(**FULL, shaft_warmer_k=8))["shaft_warmer_k"] == 8
