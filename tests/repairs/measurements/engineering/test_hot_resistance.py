"""Temperature by resistance. k of copper and the rise limits are from memory, unverified."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

CLASS_F = Machine(insulation_class="F", service_factor=1.0, power_w=224e3, ambient_c=40)
HOT = {"cold_ohm": 0.250, "cold_c": 25.0, "hot_ohm": 0.325, "conductor": "copper"}
LOADED = {**HOT, "ambient_c": 25.0, "full_load": "yes"}


def test_temperature_of_a_warm_winding() -> None:
    """0.250 Ω at 25 °C, 0.325 Ω hot: 102.85 °C, arithmetic."""
    answer = check_test("hot_resistance", {**LOADED}, CLASS_F)
    assert answer.result("hot_temperature").value == pytest.approx(102.85, abs=0.005)
    assert answer.result("temperature_rise").value == pytest.approx(77.85, abs=0.005)
    assert answer.verdict == "pass"


@pytest.mark.parametrize(
    ("thermal_class", "factor", "rated", "most"),
    [
        ("A", 1.0, 40, 60),
        ("B", 1.0, 40, 80),
        ("F", 1.0, 40, 105),
        ("H", 1.0, 40, 125),
        ("B", 1.15, 40, 90),
        ("F", 1.15, 40, 115),
        ("F", 1.1, 40, 105),
        ("F", 1.0, 50, 95),
        ("F", 1.0, None, 105),
        ("F", 1.0, 30, 105),
    ],
)
def test_highest_rise(thermal_class: str, factor: float, rated: float | None, most: float) -> None:
    machine = Machine(insulation_class=thermal_class, service_factor=factor, ambient_c=rated)
    limit = check_test("hot_resistance", {}, machine).result("temperature_rise").limit
    assert limit is not None
    assert (limit.high, limit.source.sureness) == (most, "memory")


def test_a_lower_rise_class_counts() -> None:
    """Class F insulation sold with a class B rise."""
    answer = check_test("hot_resistance", {**LOADED, "hot_ohm": 0.335, "rise_class": "B"}, CLASS_F)
    assert answer.result("temperature_rise").verdict == "fail"
    assert check_test("hot_resistance", {**LOADED, "hot_ohm": 0.335}, CLASS_F).verdict == "pass"


@pytest.mark.parametrize("load", [{"full_load": "no"}, {}])
def test_less_than_full_load_never_passes_but_fails(load: dict[str, str]) -> None:
    entries = {**HOT, "ambient_c": 25.0, **load}
    assert check_test("hot_resistance", {**entries}, CLASS_F).verdict == "not_checked"
    assert check_test("hot_resistance", {**entries, "hot_ohm": 0.37}, CLASS_F).verdict == "fail"


@pytest.mark.parametrize(("hot", "verdict"), [(0.325, "pass"), (0.360, "not_checked"), (0.372, "fail")])
def test_of_no_known_service_factor_both_rows_must_agree(hot: float, verdict: str) -> None:
    """Rise 77.9, 114.2 and 126.6 K against 105 and 115."""
    answer = check_test("hot_resistance", {**LOADED, "hot_ohm": hot}, CLASS_F._replace(service_factor=None))
    assert answer.result("temperature_rise").verdict == verdict
    assert ("factor_decides" in {one.code for one in answer.notes}) == (verdict == "not_checked")


@pytest.mark.parametrize("without", ["cold_ohm", "cold_c", "hot_ohm", "ambient_c", "conductor"])
def test_what_is_missing_is_not_checked(without: str) -> None:
    answer = check_test("hot_resistance", {k: v for k, v in LOADED.items() if k != without}, CLASS_F)
    assert answer.verdict == "not_checked"
    assert without in {one.field for one in answer.missing}


def test_no_class_is_not_checked() -> None:
    answer = check_test("hot_resistance", {**LOADED}, Machine(service_factor=1.0))
    assert answer.verdict == "not_checked"
    assert "machine.insulation_class" in {one.field for one in answer.missing}


def test_swapped_readings_are_asked() -> None:
    answer = check_test("hot_resistance", {**LOADED, "cold_ohm": 0.325, "hot_ohm": 0.25}, CLASS_F)
    assert [one.severity for one in answer.notes if one.code == "hot_below_cold"] == ["doubt"]


@pytest.mark.parametrize(("seconds", "late"), [(120, False), (121, True)])
def test_a_late_reading_is_told(seconds: float, late: bool) -> None:
    """224 kW: 120 s, from memory."""
    answer = check_test("hot_resistance", {**LOADED, "seconds_after_off": seconds}, CLASS_F)
    assert ("reading_late" in {one.code for one in answer.notes}) == late


def test_what_is_missing() -> None:
    assert check_test("hot_resistance", {**LOADED}, CLASS_F).missing == ()
    nothing = {one.field for one in check_test("hot_resistance", {}, Machine()).missing}
    assert nothing == {"cold_ohm", "cold_c", "hot_ohm", "ambient_c", "conductor", "machine.insulation_class"}
    load = check_test("hot_resistance", {**HOT, "ambient_c": 25.0}, CLASS_F)
    assert [one.field for one in load.missing] == ["full_load"]
    factor = check_test("hot_resistance", {**LOADED, "hot_ohm": 0.36}, CLASS_F._replace(service_factor=None))
    assert [one.field for one in factor.missing] == ["machine.service_factor"]


@pytest.mark.parametrize(
    ("watts", "most"), [(50e3, 30), (51e3, 90), (200e3, 90), (201e3, 120), (5000e3, 120)]
)
def test_time_to_the_first_reading_by_size(watts: float, most: float) -> None:
    machine = CLASS_F._replace(power_w=watts)
    for seconds, codes in ((most, set()), (most + 1, {"reading_late"})):
        answer = check_test("hot_resistance", {**LOADED, "seconds_after_off": seconds}, machine)
        assert {one.code for one in answer.notes} == codes


def test_above_5000_kw_no_time_is_known() -> None:
    machine = CLASS_F._replace(power_w=5001e3)
    assert check_test("hot_resistance", {**LOADED, "seconds_after_off": 3600.0}, machine).notes == ()


def test_what_the_notes_say() -> None:
    answer = check_test(
        "hot_resistance",
        {**LOADED, "cold_ohm": 0.4, "full_load": "no", "seconds_after_off": 300.0},
        CLASS_F,
    )
    sentences = said("hot_resistance", answer)
    assert "Hot 0.325 Ω is below cold 0.4 Ω" in sentences["hot_below_cold"]
    assert "300 s after switching off; for this size take it within 120 s" in sentences["reading_late"]
    assert severities(answer) == {"hot_below_cold": "doubt", "not_full_load": "note", "reading_late": "warn"}
    assert said("hot_resistance", check_test("hot_resistance", {**LOADED}, CLASS_F)) == {}
