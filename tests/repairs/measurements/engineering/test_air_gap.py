"""Air gap: 10 % from the mean, two poles 5 %: ANSI/EASA AR100-2020 2.12 as seen in a secondary copy."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.subjects.air_gap import FIELDS, deviation, poles_of
from tests.repairs.measurements.engineering.saying import said, severities

FOUR, TWO = Machine(poles=4), Machine(poles=2)
# Means of 2: deviations of 10 % above and 5 % below.
READ = (2.2, 1.9, 1.9, 2.0)


def look(readings: tuple[float | None, ...], machine: Machine = FOUR) -> Answer:
    codes = [one.code for one in FIELDS]
    answer = check_test(
        "air_gap", {code: one for code, one in zip(codes, readings, strict=False) if one is not None}, machine
    )
    said("air_gap", answer)
    return answer


def test_deviation_by_hand() -> None:
    """2.2, 1.9, 1.9, 2.0: mean 2.0, greatest deviation 0.2 or 10 %."""
    assert deviation(READ) == pytest.approx(10)
    assert deviation((2.0, 1.0, 2.0, 3.0)) == pytest.approx(50)
    assert deviation((0.0, 0.0, 0.0, 0.0)) is None


def test_limit_by_poles() -> None:
    assert look(READ * 2).verdict == "pass"
    assert look((2.21, 1.9, 1.9, 1.99) * 2).verdict == "fail"
    assert look(READ * 2, TWO).verdict == "fail"
    assert look((2.1, 1.95, 1.95, 2.0) * 2, TWO).verdict == "pass"
    assert [one.limit and one.limit.high for one in look((), TWO).results] == [5, 5]


def test_each_end_stands_for_itself() -> None:
    answer = look((*READ, 3.0, 1.0, 2.0, 2.0))
    assert [one.verdict for one in answer.results] == ["pass", "fail"]


def test_three_of_four_readings_are_not_checked() -> None:
    answer = look((*READ, 2.0, 2.0, 2.0))
    assert answer.verdict == "not_checked"
    assert ("gap_low_270", "air_gap_low") in answer.missing


@pytest.mark.parametrize(
    ("rpm", "hertz", "poles"),
    [(3550, 60, 2), (1785, 60, 4), (1185, 60, 6), (2950, 50, 2), (1800, 60, 4), (9000, 60, 2)],
)
def test_poles_from_speed(rpm: float, hertz: float, poles: int) -> None:
    """A 6-pole motor turns 1185 rpm at 60 Hz: arithmetic."""
    assert poles_of(Machine(speed_rpm=rpm, frequency_hz=hertz)) == poles


def test_of_unknown_poles_only_what_both_limits_agree_on_is_judged() -> None:
    unknown = Machine()
    assert look((2.1, 1.95, 1.95, 2.0) * 2, unknown).verdict == "pass"
    assert look((2.4, 1.9, 1.9, 1.8) * 2, unknown).verdict == "fail"
    between = look(READ * 2, unknown)
    assert between.verdict == "not_checked"
    assert ("machine.poles", "air_gap_top") in between.missing


def test_no_gap_and_thousandths() -> None:
    assert severities(look((0.0, 2.0, 2.0, 2.0)))["no_gap"] == "warn"
    assert look((0.0, 2.0, 2.0, 2.0)).result("air_gap_top").verdict == "fail"
    assert severities(look((60.0, 60.0, 60.0, 60.0)))["mils_typed"] == "doubt"
    assert look((0.0,) * 8).verdict == "not_checked"
