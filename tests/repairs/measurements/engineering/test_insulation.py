"""Insulation resistance. Figures: IEEE 43-2013 as restated in secondary copies, unless a check says from memory."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables.insulation import test_voltages as voltages_of
from repairs.measurements.engineering.tables.insulation import thermosetting_factor
from repairs.measurements.words.figures import Written
from repairs.measurements.words.insulation import WORDS

OLD_2300 = Machine(voltage_v=2300, year=1962, winding="form", insulation_class="B")
NEW_4160 = Machine(voltage_v=4160, year=2010, winding="form", insulation_class="F")
LOW = Machine(voltage_v=460, winding="random", insulation_class="F")


def test_resistance_halves_for_each_ten_degrees() -> None:
    """500 MΩ at 25 °C is 176.78 MΩ at 40 °C: 500 x 0.5^1.5."""
    answer = check_test("insulation", {"r_1min": 500, "winding_c": 25, "method": "ten_degree"}, NEW_4160)
    assert answer.result("insulation").value == pytest.approx(176.78, abs=0.005)
    assert answer.result("insulation").verdict == "pass"


def test_thermosetting_curve() -> None:
    """0.3975 at 20 °C and 1.270 at 60 °C; the curve's constants are from memory, unverified."""
    assert thermosetting_factor(20) == pytest.approx(0.3975, abs=5e-5)
    assert thermosetting_factor(60) == pytest.approx(1.270, abs=5e-4)
    assert thermosetting_factor(9.9) is None
    assert thermosetting_factor(85) is None


@pytest.mark.parametrize(
    ("machine", "least"), [(OLD_2300, 3.3), (NEW_4160, 100), (LOW, 5), (Machine(voltage_v=4160), 100)]
)
def test_minimum(machine: Machine, least: float) -> None:
    limit = check_test("insulation", {}, machine).result("insulation").limit
    assert limit is not None
    assert limit.low == pytest.approx(least)


@pytest.mark.parametrize(
    ("rated", "expected"),
    [
        (460, (500, 500)),
        (2300, (500, 1000)),
        (4160, (1000, 2500)),
        (6900, (2500, 5000)),
        (13_800, (5000, 10_000)),
    ],
)
def test_test_voltages(rated: float, expected: tuple[float, float]) -> None:
    assert voltages_of(rated) == expected


def test_polarization_index() -> None:
    """1200 over 400 is 3.00; class F asks for 2.0."""
    answer = check_test(
        "insulation", {"r_1min": 400, "r_10min": 1200, "winding_c": 40, "method": "ten_degree"}, NEW_4160
    )
    assert answer.result("polarization_index").value == pytest.approx(3.0)
    assert answer.result("polarization_index").verdict == "pass"


def test_no_temperature_is_not_checked() -> None:
    answer = check_test("insulation", {"r_1min": 4000, "method": "ten_degree"}, NEW_4160)
    assert answer.result("insulation").verdict == "not_checked"
    assert "winding_c" in {one.field for one in answer.missing}


def test_no_voltage_is_not_checked() -> None:
    answer = check_test("insulation", {"r_1min": 4000, "winding_c": 40, "method": "ten_degree"}, Machine())
    assert answer.verdict == "not_checked"
    assert "machine.voltage_v" in {one.field for one in answer.missing}


def test_without_a_method_both_must_agree() -> None:
    """300 MΩ at 20 °C: 75 by the rule (fails 100), 119 by the curve (passes): nobody may pick the better one."""
    answer = check_test("insulation", {"r_1min": 300, "winding_c": 20}, NEW_4160)
    assert answer.result("insulation").verdict == "not_checked"
    assert [one.code for one in answer.notes] == ["method_decides"]
    sure = check_test("insulation", {"r_1min": 3000, "winding_c": 20}, NEW_4160).result("insulation")
    assert (sure.verdict, sure.value) == ("pass", pytest.approx(750))


def test_the_other_methods_verdict_is_told_where_it_differs() -> None:
    answer = check_test("insulation", {"r_1min": 300, "winding_c": 20, "method": "ten_degree"}, NEW_4160)
    assert answer.result("insulation").verdict == "fail"
    (note,) = [one for one in answer.notes if one.code == "other_method_differs"]
    assert note.params["method"] == "thermosetting"


def test_ohms_typed_as_megohms_are_asked_and_kept() -> None:
    answer = check_test("insulation", {"r_1min": 5e8, "winding_c": 40, "method": "ten_degree"}, LOW)
    assert [one.severity for one in answer.notes if one.code == "ohms_typed"] == ["doubt"]
    assert answer.result("insulation").value == 5e8


def test_ten_minutes_below_one_minute_is_told_and_fails() -> None:
    entries = {"r_1min": 400.0, "r_10min": 300.0, "winding_c": 40.0, "method": "ten_degree"}
    answer = check_test("insulation", entries, NEW_4160)
    assert "falls_with_time" in {one.code for one in answer.notes}
    assert answer.result("polarization_index").verdict == "fail"


def test_customer_goes_before_maker_standard_and_shop() -> None:
    entries = {"r_1min": 400.0, "winding_c": 40.0, "method": "ten_degree"}
    customer = Limit(500, None, Source("PO 77", sureness="entered"), "customer")
    maker = Limit(300, None, Source("manual", sureness="entered"), "maker")
    shop = Limit(50, None, Source("shop sheet", sureness="entered"), "shop")
    held = {"insulation": (shop, maker, customer)}
    result = check_test("insulation", entries, NEW_4160, held).result("insulation")
    assert (result.verdict, result.limit) == ("fail", customer)
    result = check_test("insulation", entries, NEW_4160, {"insulation": (shop,)}).result("insulation")
    assert (result.verdict, result.limit and result.limit.low) == ("pass", 100)


def test_a_value_at_the_limit_passes_in_either_unit() -> None:
    limit = Limit(None, 0.003 * 25.4, Source("drawing", sureness="entered"), "maker")
    assert limit.holds(0.0762)
    assert not limit.holds(0.0763)


def test_one_test_voltage_is_said_once() -> None:
    (note,) = check_test("insulation", {"test_voltage_v": 1000}, LOW).notes
    assert WORDS.notes["test_voltage"](note, Written("us")).replace("\u00a0", " ").endswith("use 500 V DC.")
    (note,) = check_test("insulation", {"test_voltage_v": 500}, NEW_4160).notes
    assert "use 1,000 V to 2,500 V DC." in WORDS.notes["test_voltage"](note, Written("us")).replace(
        "\u00a0", " "
    )
