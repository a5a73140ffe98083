"""Figures of a plate against each other, and against figures from outside the project."""

from __future__ import annotations

import math

import pytest

from repairs.motors.formulas import (
    full_load_current_a,
    full_load_torque_nm,
    locked_rotor_current_a,
    poles_from_speed,
    speed_without_slip_rpm,
)
from repairs.motors.models import Motor
from repairs.motors.plausibility import remarks, synchronous_speed_rpm
from repairs.motors.units import HP_W

# A complete plate: 300 hp, 4 poles.
SOUND = {
    "power_w": 300 * HP_W, "voltage_v": 460, "current_a": 342, "frequency_hz": 60, "phases": 3, "poles": 4,
    "rated_speed_rpm": 1785, "power_factor": 0.86, "efficiency_percent": 95.4, "down_thrust_n": 30000,
    "maximum_down_thrust_n": 40000, "up_thrust_n": 9000, "rotor_weight_n": 2200, "thrust_basis": "external",
    "oil_iso_vg": 32, "code_letter": "G", "service_factor": 1.15, "service_factor_current_a": 390,
}  # fmt: skip


def plate(**changes) -> Motor:
    values = {**SOUND, **changes}
    entries = {
        key: {"state": "read", "typed": str(value), "unit": "", "si": value}
        for key, value in values.items()
        if value is not None
    }
    return Motor(build=Motor.Build.VERTICAL_HOLLOW, nameplate=entries)


def said(motor: Motor, severity: str) -> str:
    return " | ".join(remark.text for remark in remarks(motor) if remark.severity == severity)


@pytest.mark.parametrize(
    ("speed", "frequency", "poles"),
    [
        # arithmetic, worked by hand: 120 x 60 / 1185 = 6.08, so 6 poles run at 1 200 without slip
        (1185, 60, 6),
        (1785, 60, 4),
        (3570, 60, 2),
        (590, 60, 12),
        (1480, 50, 4),
        (1800, 60, 4),
    ],
)
def test_poles_follow_from_the_speed(speed, frequency, poles):
    assert poles_from_speed(speed, frequency) == poles
    assert speed_without_slip_rpm(frequency, poles) >= speed


def test_a_speed_far_from_every_synchronous_speed_has_no_poles():
    assert poles_from_speed(2500, 60) is None
    assert poles_from_speed(4000, 60) is None


def test_current_and_torque_agree_with_a_worked_example():
    # arithmetic, worked by hand: 300 hp, 460 V, η 0.954, cos φ 0.86 give 342.2 A; 300 hp at 1 785 rpm give
    # 882.7 lb ft by 5252 hp / rpm (1 lb ft = 1.355818 N m, NIST SP 811: from memory, unverified)
    assert full_load_current_a(300 * HP_W, 460, 0.954, 0.86) == pytest.approx(342.2, abs=0.1)
    assert full_load_torque_nm(300 * HP_W, 1785) / 1.355818 == pytest.approx(882.7, abs=0.1)


def test_the_current_gives_the_power_back_through_the_complex_power_of_three_phases():
    # outside check by phasors: S = 3 U_phase I*, P_in = Re S
    current = full_load_current_a(100_000, 400, 0.95, 0.85)
    phase = 400 / math.sqrt(3)
    phasor = complex(current * 0.85, -current * math.sqrt(1 - 0.85**2))
    assert (3 * phase * phasor.conjugate()).real * 0.95 == pytest.approx(100_000)


def test_locked_rotor_current_follows_from_the_code_letter():
    # NEMA MG 1 10.37.2, letter G: 5.6 to below 6.3 kVA/hp (from memory, unverified); 300 hp, 460 V by hand:
    # 300 x 5.6 x 1000 / (1.7321 x 460) = 2 109 A, with 6.3 it is 2 372 A
    low, high = locked_rotor_current_a(300, 460, "g")
    assert low == pytest.approx(2109, abs=1)
    assert high == pytest.approx(2372, abs=1)
    assert locked_rotor_current_a(300, 460, "V")[1] is None
    assert locked_rotor_current_a(300, 460, "I") is None


def test_a_sound_plate_brings_no_remark():
    assert remarks(plate()) == []


@pytest.mark.parametrize(
    ("changes", "severity", "words"),
    [
        ({"rated_speed_rpm": 1810}, "warn", "above the synchronous speed, 1,800 rpm"),
        ({"poles": 2}, "warn", "does not fit 2 poles"),
        ({"poles": 5}, "warn", "5 poles is odd"),
        ({"poles": None, "rated_speed_rpm": 2500}, "warn", "not near any synchronous speed"),
        ({"current_a": 300}, "warn", "342.2 A, over 10% apart"),
        ({"code_letter": "I"}, "warn", "not a locked-rotor code letter"),
        ({"service_factor_current_a": 300}, "warn", "SF amps are below FLA"),
        ({"maximum_down_thrust_n": 20000}, "warn", "below continuous downthrust"),
        ({"oil_iso_vg": 35}, "warn", "Nearest grades: 32, 46"),
        ({"thrust_basis": None}, "note", "Taken as external"),
        ({"maximum_speed_rpm": 1500}, "note", "below full-load RPM"),
        ({"reverse_speed_rpm": 2000, "non_reverse": "yes"}, "note", "ratchet"),
        ({"service_factor": 1}, "note", "SF is 1"),
        ({"frequency_hz": None}, "not_checked", "frequency or full-load RPM not entered"),
        ({"power_factor": None}, "not_checked", "FLA vs. power"),
        ({"rotor_weight_n": None}, "not_checked", "rotor weight not entered"),
        ({"down_thrust_n": None}, "not_checked", "continuous downthrust not entered"),
        ({"up_thrust_n": None}, "not_checked", "Upthrust"),
    ],
)
def test_what_does_not_fit_is_said_in_words_and_what_is_unknown_is_not_checked(changes, severity, words):
    assert words in said(plate(**changes), severity)


def test_the_current_may_differ_by_a_tenth():
    assert said(plate(current_a=342.2 / 1.09), "warn") == ""
    assert "over 10%" in said(plate(current_a=342.2 / 1.11), "warn")


def test_an_illegible_figure_is_unknown_and_never_counts_as_fitting():
    motor = plate()
    motor.nameplate["rated_speed_rpm"] = {"state": "illegible", "typed": "", "unit": "", "si": None}
    assert "RPM vs. poles" in said(motor, "not_checked")
    assert synchronous_speed_rpm(motor) == 1800
