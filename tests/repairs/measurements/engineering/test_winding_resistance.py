"""Winding resistance. Limits: ANSI/EASA AR100 as restated in secondary copies; k of copper and aluminum from memory."""

from __future__ import annotations

import numpy
import pytest

from repairs.measurements.engineering.machine import Machine, Winding
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.subjects.winding_resistance import phase_resistances
from repairs.measurements.engineering.tables.resistance import at_temperature
from tests.repairs.measurements.engineering.saying import said, severities

THREE = {"r_ab": 0.250, "r_bc": 0.252, "r_ca": 0.247}
FORM, RANDOM = Machine(winding="form"), Machine(winding="random")


def test_copper_at_another_temperature() -> None:
    """0.250 Ω at 18 °C is 0.25693 Ω at 25 °C: arithmetic with k = 234.5."""
    assert at_temperature(0.250, 18, 25, "copper") == pytest.approx(0.25693, abs=5e-6)
    assert at_temperature(0.250, 18, 25, "aluminum") > at_temperature(0.250, 18, 25, "copper")


@pytest.mark.parametrize(
    ("machine", "verdict"), [(FORM, "fail"), (RANDOM, "pass"), (Machine(), "not_checked")]
)
def test_unbalance_of_three_by_kind(machine: Machine, verdict: str) -> None:
    """.250/.252/.247: 1.068 % of the mean; 1 % fails form wound, 2 % passes random wound, no kind decides nothing."""
    answer = check_test("winding_resistance", {**THREE}, machine)
    result = answer.result("resistance_unbalance")
    assert result.value == pytest.approx(1.068, abs=5e-4)
    assert (result.verdict, answer.verdict) == (verdict, verdict)
    assert ("machine.winding" in {one.field for one in answer.missing}) == (verdict == "not_checked")


@pytest.mark.parametrize(("third", "verdict"), [(0.2510, "pass"), (0.265, "fail")])
def test_where_both_kinds_agree_none_need_be_known(third: float, verdict: str) -> None:
    answer = check_test("winding_resistance", {"r_ab": 0.25, "r_bc": 0.25, "r_ca": third}, Machine())
    assert answer.result("resistance_unbalance").verdict == verdict


def test_exactly_at_the_limit_passes() -> None:
    at = check_test("winding_resistance", {"r_ab": 0.99, "r_bc": 1.0, "r_ca": 1.01}, FORM)
    assert at.result("resistance_unbalance").verdict == "pass"
    over = check_test("winding_resistance", {"r_ab": 0.9899, "r_bc": 1.0, "r_ca": 1.0101}, FORM)
    assert over.result("resistance_unbalance").verdict == "fail"


def test_even_phases_by_connection() -> None:
    """Wye R/2, delta 1.5 R: arithmetic."""
    assert phase_resistances((0.2, 0.2, 0.2), "wye") == pytest.approx((0.1, 0.1, 0.1))
    assert phase_resistances((0.2, 0.2, 0.2), "delta") == pytest.approx((0.3, 0.3, 0.3))


def test_uneven_phases_give_the_readings_again() -> None:
    """Circuit solved with numpy: unit current into one terminal and out of the other of a delta."""
    ab, bc, ca = 0.31, 0.29, 0.36
    conductances = numpy.array(
        [
            [1 / ab + 1 / ca, -1 / ab, -1 / ca],
            [-1 / ab, 1 / ab + 1 / bc, -1 / bc],
            [-1 / ca, -1 / bc, 1 / ca + 1 / bc],
        ]
    )
    between = []
    for into, out in ((0, 1), (1, 2), (2, 0)):
        currents = numpy.zeros(3)
        currents[into], currents[out] = 1, -1
        volts = numpy.linalg.pinv(conductances) @ currents
        between.append(float(volts[into] - volts[out]))
    assert phase_resistances(tuple(between), "delta") == pytest.approx((ab, bc, ca))


def test_value_at_the_reference_informs() -> None:
    entries = {**THREE, "winding_c": 18.0, "conductor": "copper", "reference": "ref_25", "connection": "wye"}
    answer = check_test("winding_resistance", entries, RANDOM)
    mean = sum(THREE.values()) / 3
    assert answer.result("resistance_corrected").value == pytest.approx(mean * 259.5 / 252.5)
    assert answer.result("resistance_phase").value == pytest.approx(mean / 2 * 259.5 / 252.5)
    assert answer.result("resistance_corrected").verdict == "noted"
    assert answer.verdict == "pass"


@pytest.mark.parametrize("without", ["winding_c", "conductor", "reference"])
def test_no_usual_value_takes_the_place_of_one_that_is_missing(without: str) -> None:
    entries = {
        **THREE,
        "winding_c": 18.0,
        "conductor": "copper",
        "reference": "ref_25",
        "connection": "delta",
    }
    del entries[without]
    answer = check_test("winding_resistance", entries, RANDOM)
    assert answer.result("resistance_corrected").value is None
    assert without in {one.field for one in answer.missing}


def test_unknown_connection_has_no_phase_resistance() -> None:
    entries = {
        **THREE,
        "winding_c": 18.0,
        "conductor": "copper",
        "reference": "ref_25",
        "connection": "unknown",
    }
    assert check_test("winding_resistance", entries, RANDOM).result("resistance_phase").value is None


def test_three_readings_that_no_phases_give_are_asked() -> None:
    answer = check_test("winding_resistance", {"r_ab": 0.1, "r_bc": 0.1, "r_ca": 0.25}, RANDOM)
    assert [one.severity for one in answer.notes if one.code == "impossible_three"] == ["doubt"]
    assert answer.result("resistance_unbalance").verdict == "fail"


def test_milliohms_typed_as_ohms_are_asked_and_kept() -> None:
    """300 hp, 342 A: 1.5 I² R reaches 224 kW at 1.28 Ω line to line."""
    machine = Machine(winding="random", power_w=300 * 745.7, current_a=342)
    answer = check_test("winding_resistance", {"r_ab": 14.1, "r_bc": 14.1, "r_ca": 14.1}, machine)
    (doubt,) = [one for one in answer.notes if one.code == "milliohms_typed"]
    assert doubt.params["most"] == pytest.approx(1.275, abs=1e-3)
    assert answer.result("resistance_unbalance").verdict == "pass"
    right = check_test("winding_resistance", {"r_ab": 0.0141, "r_bc": 0.0141, "r_ca": 0.0141}, machine)
    assert right.notes == ()


def test_a_complete_test_misses_nothing_and_says_nothing() -> None:
    entries = {
        **THREE,
        "winding_c": 18.0,
        "conductor": "copper",
        "reference": "ref_25",
        "connection": "delta",
    }
    answer = check_test("winding_resistance", entries, RANDOM)
    assert (answer.missing, answer.notes) == ((), ())


def test_what_is_missing_of_nothing_and_of_three_readings() -> None:
    nothing = check_test("winding_resistance", {}, Machine())
    assert {one.field for one in nothing.missing} == {*THREE, "machine.winding"}
    assert nothing.notes == ()
    three = check_test("winding_resistance", {**THREE}, RANDOM)
    assert {one.field for one in three.missing} == {"winding_c", "conductor", "reference", "connection"}


@pytest.mark.parametrize(("winding", "most"), [("form", 1.0), ("random", 2.0)])
def test_limits_by_kind_stand_before_anything_is_measured(winding: Winding, most: float) -> None:
    limit = (
        check_test("winding_resistance", {}, Machine(winding=winding)).result("resistance_unbalance").limit
    )
    assert limit is not None
    assert limit.high == most


@pytest.mark.parametrize(("reference", "to_c"), [("ref_20", 20), ("ref_25", 25), ("ref_40", 40)])
def test_references(reference: str, to_c: float) -> None:
    """Aluminum: k = 225, from memory."""
    entries = {"r_ab": 1.0, "r_bc": 1.0, "r_ca": 1.0, "winding_c": 18.0, "conductor": "aluminum"}
    answer = check_test("winding_resistance", {**entries, "reference": reference}, RANDOM)
    assert answer.result("resistance_corrected").value == pytest.approx((225 + to_c) / 243)


def test_what_the_notes_say() -> None:
    between = check_test("winding_resistance", {**THREE}, Machine())
    assert "1% form wound, 2% random wound" in said("winding_resistance", between)["kind_decides"]
    assert severities(between) == {"kind_decides": "note"}
    machine = Machine(winding="random", power_w=300 * 745.7, current_a=342)
    answer = check_test("winding_resistance", {"r_ab": 14.1, "r_bc": 14.1, "r_ca": 40.0}, machine)
    assert "14.1 Ω, 14.1 Ω and 40 Ω" in said("winding_resistance", answer)["impossible_three"]
    assert "Mean 22.733 Ω" in said("winding_resistance", answer)["milliohms_typed"]
