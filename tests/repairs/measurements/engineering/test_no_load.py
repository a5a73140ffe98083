"""No-load run. 5 % voltage unbalance and 6 to 10 times: secondary; derating read off a curve, from memory; 10 %
current unbalance and the shares of full-load amps: common practice."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables.no_load import derating, usual_share
from tests.repairs.measurements.engineering.saying import said, severities

MOTOR = Machine(voltage_v=460, current_a=342, speed_rpm=1785, frequency_hz=60)
VOLTS = {"v_ab": 460.0, "v_bc": 460.0, "v_ca": 460.0}
AMPS = {"i_a": 110.0, "i_b": 110.0, "i_c": 110.0}


def _look(machine: Machine = MOTOR, **entries: float) -> Answer:
    return check_test("no_load", {**VOLTS, **AMPS, **entries}, machine)


def _codes(answer: Answer) -> list[str]:
    return [one.code for one in answer.notes]


@pytest.mark.parametrize(
    ("volts", "unbalance"), [((460, 467, 450), 1.961), ((203, 210, 212), 2.56), ((230, 232, 225), 1.747)]
)
def test_voltage_unbalance(volts: tuple[float, ...], unbalance: float) -> None:
    """460/467/450: 1.961 %, published; 203/210/212: 2.56 %, published as 2.5; the third is arithmetic."""
    answer = _look(**dict(zip(VOLTS, volts, strict=True)))
    assert answer.result("voltage_unbalance").value == pytest.approx(unbalance, abs=5e-3)
    assert answer.result("voltage_unbalance").verdict == "pass"
    assert "derate" in _codes(answer)


@pytest.mark.parametrize(
    ("percent", "factor"),
    [(0, 1), (1, 1), (2, 0.95), (2.5, 0.915), (3, 0.88), (4, 0.82), (5, 0.75), (5.1, None)],
)
def test_derating(percent: float, factor: float | None) -> None:
    assert derating(percent) == (None if factor is None else pytest.approx(factor))


@pytest.mark.parametrize(("third", "stops"), [(460 * 1.02, False), (530, True)])
def test_above_five_percent_stops(third: float, stops: bool) -> None:
    answer = _look(v_ca=third)
    assert (answer.result("voltage_unbalance").verdict == "fail") == stops
    assert ("do_not_run" in _codes(answer)) == stops


def test_exactly_five_percent_is_within() -> None:
    assert _look(v_ab=95.0, v_bc=100.0, v_ca=105.0).result("voltage_unbalance").verdict == "pass"


@pytest.mark.parametrize(("ends", "verdict"), [((90, 110), "pass"), ((89.9, 110.1), "fail")])
def test_current_unbalance(ends: tuple[float, float], verdict: str) -> None:
    answer = _look(i_a=ends[0], i_b=100, i_c=ends[1])
    assert answer.result("current_unbalance").verdict == verdict


@pytest.mark.parametrize(("volts", "code"), [(451.0, "voltage_explains"), (460.0, "voltage_explains_not")])
def test_what_the_supply_explains_is_told_and_fails_all_the_same(volts: float, code: str) -> None:
    """Two volts of unbalance 1.31 %: up to 13.1 %."""
    answer = _look(v_ca=volts, i_a=97, i_b=110, i_c=123)
    assert code in _codes(answer)
    assert answer.verdict == "fail"


@pytest.mark.parametrize(
    ("poles", "low", "high"), [(2, 25, 40), (4, 25, 40), (6, 30, 50), (8, 30, 50), (10, 0, 70), (16, 0, 70)]
)
def test_usual_share_of_full_load_amps(poles: int, low: float, high: float) -> None:
    assert usual_share(poles) == (low, high)


@pytest.mark.parametrize(("amps", "told"), [(110, False), (60, True), (150, True)])
def test_an_unusual_share_is_told_and_judges_nothing(amps: float, told: bool) -> None:
    answer = _look(i_a=amps, i_b=amps, i_c=amps)
    assert answer.result("no_load_share").value == pytest.approx(100 * amps / 342)
    assert ("share_unusual" in _codes(answer)) == told
    assert answer.verdict == "pass"


def test_amps_at_another_voltage_are_not_compared() -> None:
    answer = _look(v_ab=400, v_bc=400, v_ca=400)
    assert answer.result("no_load_share").value is None
    assert "voltage_off" in _codes(answer)


def test_volts_per_hertz_count() -> None:
    """383 V at 50 Hz magnetize a motor of 460 V and 60 Hz fully."""
    answer = _look(v_ab=383, v_bc=383, v_ca=383, supply_hz=50)
    assert answer.result("no_load_share").value == pytest.approx(100 * 110 / 342)


def test_speed_without_load() -> None:
    answer = _look(rpm=1798)
    assert answer.result("no_load_slip").value == pytest.approx(0.1111, abs=1e-4)
    assert _codes(answer) == []


@pytest.mark.parametrize(("rpm", "code"), [(1810, "above_synchronous"), (1780, "slips_like_loaded")])
def test_odd_speeds_are_told(rpm: float, code: str) -> None:
    assert code in _codes(_look(rpm=rpm))


def test_input_power_and_its_factor() -> None:
    """√3 x 460 V x 110 A is 87.64 kVA."""
    answer = _look(watts=8764)
    assert answer.result("no_load_pf").value == pytest.approx(0.1, abs=1e-4)
    assert "power_too_high" in _codes(_look(watts=90_000))


def test_no_amps_at_all_is_no_even_current() -> None:
    answer = _look(i_a=0, i_b=0, i_c=0)
    assert answer.result("current_unbalance").verdict == "not_checked"


def test_an_open_phase_fails() -> None:
    assert _look(i_c=0).result("current_unbalance").verdict == "fail"


@pytest.mark.parametrize("without", [*VOLTS, *AMPS])
def test_what_is_missing_is_not_checked(without: str) -> None:
    entries = {key: value for key, value in {**VOLTS, **AMPS}.items() if key != without}
    answer = check_test("no_load", {**entries}, MOTOR)
    assert answer.verdict == "not_checked"
    assert without in {one.field for one in answer.missing}


def test_of_an_unknown_motor_currents_are_judged_and_shares_missing() -> None:
    answer = _look(Machine(), rpm=1798)
    assert answer.verdict == "pass"
    assert {one.result for one in answer.missing} == {"no_load_share", "no_load_slip"}


def test_what_is_missing() -> None:
    assert _look(rpm=1798).missing == ()
    nothing = {one.field for one in check_test("no_load", {}, Machine()).missing}
    assert nothing == {*VOLTS, *AMPS}
    unknown = {one.field for one in _look(Machine(), rpm=1798).missing}
    plate = {"machine.current_a", "machine.voltage_v", "machine.frequency_hz", "machine.poles"}
    assert unknown == {*plate, "supply_hz"}
    poles = {one.field for one in _look(Machine(poles=4), rpm=1798).missing}
    assert poles == plate - {"machine.poles"} | {"supply_hz"}


def test_what_the_notes_say() -> None:
    sentences = said("no_load", _look(v_ca=451.0, i_a=97, i_b=110, i_c=123))
    assert "unbalance 1.31%: at load the motor could carry 98.4%" in sentences["derate"]
    assert "1.31% alone gives 7.88% to 13.1%" in sentences["voltage_explains"]
    assert "do not run a motor above 5%" in said("no_load", _look(v_ca=530))["do_not_run"]
    assert "at most 0%" in said("no_load", _look(i_c=80))["voltage_explains_not"]
    assert (
        "400 V at 60 Hz is more than 10% off the rating of 460 V"
        in said("no_load", _look(v_ab=400, v_bc=400, v_ca=400))["voltage_off"]
    )
    assert (
        "58.5% of FLA; motors with 4 poles usually draw 25% to 40%"
        in said("no_load", _look(i_a=200, i_b=200, i_c=200))["share_unusual"]
    )
    assert (
        "1,850 rpm is above the synchronous speed 1,800 rpm"
        in said("no_load", _look(rpm=1850))["above_synchronous"]
    )
    assert (
        "1,780 rpm without load is below full-load 1,785 rpm"
        in said("no_load", _look(rpm=1780))["slips_like_loaded"]
    )
    assert severities(_look(watts=90_000)) == {"power_too_high": "doubt"}
    assert said("no_load", _look(watts=90_000))["power_too_high"].startswith("120.69 hp")


def test_exactly_one_percent_is_not_derated() -> None:
    assert (
        _look(v_ab=99.0, v_bc=100.0, v_ca=101.0, i_a=1, i_b=1, i_c=1).result("voltage_unbalance").value == 1
    )
    assert "derate" not in _codes(_look(v_ab=99.0, v_bc=100.0, v_ca=101.0))


@pytest.mark.parametrize(("rpm", "told"), [(1809, False), (1809.1, True)])
def test_half_a_percent_above_the_synchronous_speed_is_the_meters(rpm: float, told: bool) -> None:
    assert ("above_synchronous" in _codes(_look(rpm=rpm))) == told
