"""Balance limits. Published worked examples: G2.5, 1000 lb, 15,000 rpm: 1.0 oz in; 4W/N, 500 lb: .133 oz in a plane."""

from __future__ import annotations

import pytest
from scipy import constants

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Value
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables.balance import four_w_n, permissible, specific, split
from repairs.motors.units import unit_of
from tests.repairs.measurements.engineering.saying import said, severities

OUNCES = unit_of("unbalance", "oz in")
MOTOR = Machine(speed_rpm=1800, rotor_mass_kg=1000)
GRADE: dict[str, Value] = {"method": "grade", "grade_mm_s": 2.5, "planes": "two", "half_key": "yes"}
APART: dict[str, Value] = {"to_a_mm": 600.0, "to_b_mm": 400.0}
BOTH: dict[str, Value] = {"residual_a": 5000.0, "residual_b": 7000.0}


def look(entries: dict[str, Value], machine: Machine = MOTOR) -> Answer:
    answer = check_test("balance", entries, machine)
    said("balance", answer)
    return answer


def highs(answer: Answer) -> list[float | None]:
    return [one.limit and one.limit.high for one in answer.results]


def test_grade() -> None:
    """G2.5, 1800 rpm, 1000 kg: 13.26 µm and 13,263 g mm by arithmetic."""
    assert specific(1800, 2.5) == pytest.approx(13.26, abs=0.005)
    assert permissible(1000, 1800, 2.5) == pytest.approx(13_263, abs=0.5)


def test_published_example_of_a_grade() -> None:
    assert OUNCES.from_si(permissible(1000 * constants.lb, 15_000, 2.5)) == pytest.approx(1.0, abs=0.005)


def test_published_example_of_4w_n() -> None:
    """.133 oz in a plane; and it is about G0.67 of the whole rotor."""
    assert OUNCES.from_si(four_w_n(500 * constants.lb, 15_000)) == pytest.approx(0.1333, abs=5e-5)
    whole = 2 * four_w_n(500 * constants.lb, 15_000)
    assert whole / permissible(1000 * constants.lb, 15_000, 1) == pytest.approx(0.665, abs=0.0005)


def test_units_by_an_independent_library() -> None:
    assert OUNCES.factor == pytest.approx(constants.oz * 1000 * constants.inch * 1000)
    assert 4 * OUNCES.factor / constants.lb == pytest.approx(6350, rel=1e-12)


def test_split_by_distance() -> None:
    """10,000 with 600 and 400 mm: 4000 and 6000; 900 and 100 stop at 0.3 and 0.7 (from memory, unverified)."""
    assert split(10_000, 600, 400) == pytest.approx((4000, 6000))
    assert split(10_000, 900, 100) == pytest.approx((3000, 7000))
    assert split(10_000, 700, 300) == pytest.approx((3000, 7000))


def test_limits_stand_before_anything_is_measured() -> None:
    assert highs(look({**GRADE, **APART})) == pytest.approx([5305.2, 7957.7], abs=0.1)
    one = look({**GRADE, "planes": "one"})
    assert highs(one)[0] == pytest.approx(13_263, abs=0.5)
    assert one.result("balance_b").verdict == "noted"
    assert highs(look({})) == [None, None]


def test_both_planes_are_held_to_their_own_limit() -> None:
    assert look({**GRADE, **APART, **BOTH}).verdict == "pass"
    answer = look({**GRADE, **APART, "residual_a": 5306.0, "residual_b": 7957.0})
    assert [one.verdict for one in answer.results] == ["fail", "pass"]


def test_one_plane_measured_of_two_is_not_checked() -> None:
    answer = look({**GRADE, **APART, "residual_a": 1.0})
    assert answer.verdict == "not_checked"
    assert ("residual_b", "balance_b") in answer.missing


def test_4w_n_goes_by_the_journals() -> None:
    entries: dict[str, Value] = {
        "method": "four_w_n",
        "planes": "two",
        "journal_a_kg": 450.0,
        "journal_b_kg": 550.0,
    }
    assert highs(look(entries)) == pytest.approx([6350 * 450 / 1800, 6350 * 550 / 1800])
    assert highs(look({**entries, "planes": "one"}))[0] == pytest.approx(6350 * 1000 / 1800)


@pytest.mark.parametrize("field", ["method", "planes", "grade_mm_s", "to_a_mm", "to_b_mm"])
def test_without_it_nothing_is_checked(field: str) -> None:
    entries = {code: value for code, value in {**GRADE, **APART, **BOTH}.items() if code != field}
    answer = look(entries)
    assert answer.verdict == "not_checked"
    assert field in {one.field for one in answer.missing}


def test_mass_and_speed_come_from_the_motor_or_are_asked_for() -> None:
    answer = look({**GRADE, **APART, **BOTH}, Machine())
    assert {one.field for one in answer.missing} == {"service_rpm", "rotor_mass_kg"}
    entered = look({**GRADE, **APART, **BOTH, "rotor_mass_kg": 1000.0, "service_rpm": 1800.0}, Machine())
    assert entered.verdict == "pass"
    journals = look({"method": "four_w_n", "planes": "two"}).missing
    assert {"journal_a_kg", "journal_b_kg"} <= {one.field for one in journals}


def test_a_center_of_gravity_in_both_planes_is_nowhere() -> None:
    assert look({**GRADE, **BOTH, "to_a_mm": 0.0, "to_b_mm": 0.0}).verdict == "not_checked"


def test_half_key() -> None:
    assert severities(look({**GRADE, "half_key": "no"}))["no_half_key"] == "warn"
    assert "half_key_unknown" in severities(look({"method": "grade"}))
    assert not {"no_half_key", "half_key_unknown"} & set(severities(look(GRADE)))


def test_initial_and_residual_swapped_are_asked() -> None:
    answer = look({**GRADE, **APART, **BOTH, "initial_a": 400.0})
    assert severities(answer)["grew"] == "doubt"
    assert answer.result("balance_a").value == 5000
