"""Figures of a plate, against arithmetic and against what the motor's own page computes."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering import plate
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.subjects import check_test
from repairs.motors import formulas

HP = 745.6998715822702
MOTOR = Machine(
    voltage_v=460,
    power_w=300 * HP,
    speed_rpm=1785,
    frequency_hz=60,
    efficiency=0.954,
    power_factor=0.86,
    phases=3,
    code_letter="G",
)


def _value(code: str, machine: Machine = MOTOR, **entries: float) -> float | None:
    return check_test("nameplate_check", {**entries}, machine).result(code).value


def test_300_hp_1785_rpm() -> None:
    """882.7 lb ft and 342.2 A: arithmetic."""
    assert _value("plate_torque") == pytest.approx(882.7 * 1.3558179, abs=0.1)
    assert _value("plate_fla") == pytest.approx(342.2, abs=0.05)
    assert _value("plate_sync_rpm") == 1800
    assert _value("plate_slip") == pytest.approx(0.8333, abs=1e-4)


@pytest.mark.parametrize(
    ("rpm", "poles"), [(3560, 2), (1785, 4), (1185, 6), (885, 8), (1800, 4), (1500, None)]
)
def test_poles_from_the_rated_speed(rpm: float, poles: int | None) -> None:
    """1185 rpm at 60 Hz has 6 poles; 1500 is 17 % below 1800 and none."""
    assert _value("plate_poles", Machine(speed_rpm=rpm, frequency_hz=60)) == poles


def test_locked_rotor_amps_by_code_letter() -> None:
    """G: 5.6 to 6.3 kVA/hp (from memory): 300 x 5.6 / (0.46 √3) = 2108.7 A, with half the volts half of it."""
    assert _value("plate_lra_low") == pytest.approx(2108.7, abs=0.5)
    assert _value("plate_lra_high") == pytest.approx(2372.2, abs=0.5)
    assert _value("plate_lra_low", supply_v=230) == pytest.approx(1054.3, abs=0.5)
    assert _value("plate_lra_high", MOTOR._replace(code_letter="V")) is None


def test_another_supply_frequency() -> None:
    assert _value("plate_sync_rpm", supply_hz=50) == 1500


def test_the_motors_page_says_the_same() -> None:
    assert {**plate.CODE_LETTERS} == formulas.CODE_LETTERS
    assert plate.LARGEST_SLIP == formulas.LARGEST_SLIP
    assert _value("plate_fla") == pytest.approx(formulas.full_load_current_a(300 * HP, 460, 0.954, 0.86))
    assert _value("plate_torque") == pytest.approx(formulas.full_load_torque_nm(300 * HP, 1785))
    locked = formulas.locked_rotor_current_a(300, 460, "G")
    assert locked == pytest.approx((_value("plate_lra_low"), _value("plate_lra_high")))
    for rpm in range(300, 3600, 7):
        of_plate = plate.poles_of(Machine(speed_rpm=rpm, frequency_hz=60))
        assert of_plate == formulas.poles_from_speed(rpm, 60)


@pytest.mark.parametrize(
    ("name", "result"),
    [
        ("efficiency", "plate_fla"),
        ("phases", "plate_fla"),
        ("code_letter", "plate_lra_low"),
        ("power_w", "plate_torque"),
    ],
)
def test_what_the_plate_lacks_is_named(name: str, result: str) -> None:
    answer = check_test("nameplate_check", {}, MOTOR._replace(**{name: None}))
    assert answer.result(result).value is None
    assert (f"machine.{name}", result) in answer.missing
    assert answer.verdict == "noted"


def test_a_speed_above_the_synchronous_one_has_no_slip() -> None:
    assert _value("plate_slip", MOTOR._replace(poles=6)) is None
    assert _value("plate_poles", MOTOR._replace(poles=5)) is None


def test_a_whole_plate_misses_nothing_and_an_empty_one_all() -> None:
    assert check_test("nameplate_check", {}, MOTOR).missing == ()
    named = {(one.result, one.field) for one in check_test("nameplate_check", {}, Machine()).missing}
    assert named == {
        ("plate_sync_rpm", "machine.poles"),
        ("plate_sync_rpm", "machine.frequency_hz"),
        ("plate_slip", "machine.speed_rpm"),
        ("plate_slip", "machine.frequency_hz"),
        ("plate_torque", "machine.power_w"),
        ("plate_torque", "machine.speed_rpm"),
        *(
            ("plate_fla", f"machine.{name}")
            for name in ("power_w", "voltage_v", "efficiency", "power_factor", "phases")
        ),
        *(("plate_lra_low", f"machine.{name}") for name in ("code_letter", "power_w", "voltage_v", "phases")),
    }


def test_one_phase_has_no_root_of_three() -> None:
    machine = MOTOR._replace(phases=1)
    assert _value("plate_fla", machine) == pytest.approx(342.2 * 3**0.5, abs=0.1)
    assert _value("plate_lra_low", machine) == pytest.approx(2108.7 * 3**0.5, abs=1)
