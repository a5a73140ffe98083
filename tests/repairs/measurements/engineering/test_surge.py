"""Surge test. IEEE 522 and IEC 60034-15 levels from memory; random windings and EAR are common practice."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Value
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables.high_potential import per_unit_v
from tests.repairs.measurements.engineering.saying import said, severities

FORM, RANDOM = Machine(voltage_v=4160, winding="form"), Machine(voltage_v=460, winding="random")
EARS: dict[str, Value] = {"ear_ab": 3.0, "ear_bc": 4.0, "ear_ca": 10.0}
GOOD: dict[str, Value] = {"state": "new", "peak_v": 1920.0, "waves_match": "yes", "rotor_in": "no", **EARS}


def test_one_per_unit() -> None:
    assert per_unit_v(4160) == pytest.approx(3397, abs=0.5)


@pytest.mark.parametrize(
    ("machine", "state", "wave", "level"),
    [
        (FORM, "new", "ieee_steep", 11_888),
        (FORM, "in_service", "ieee_steep", 8916),
        (FORM, "new", "ieee_slow", 16_983),
        (FORM, "new", "iec_steep", 14_066),
        (RANDOM, "new", None, 1920),
    ],
)
def test_levels(machine: Machine, state: str, wave: str | None, level: float) -> None:
    """4160 V: 3.5 pu 11 888 V, 75 % of it 8916 V, 0.65 (4 E + 5 kV) 14 066 V; 2 E + 1000 of 460 V."""
    entries: dict[str, Value] = {"state": state} if wave is None else {"state": state, "wave": wave}
    limit = check_test("surge", entries, machine).result("surge_voltage").limit
    assert limit is not None
    assert limit.low == pytest.approx(level, abs=0.7)


@pytest.mark.parametrize(
    ("machine", "entries"),
    [
        (FORM, {"state": "new"}),
        (FORM, {"state": "in_service", "wave": "iec_steep"}),
        (RANDOM, {"state": "in_service"}),
        (Machine(voltage_v=4160), {"state": "new", "wave": "ieee_steep"}),
        (Machine(winding="form"), {"state": "new", "wave": "ieee_steep"}),
    ],
)
def test_no_level_is_invented(machine: Machine, entries: dict[str, Value]) -> None:
    answer = check_test("surge", {**GOOD, **entries}, machine)
    assert answer.result("surge_voltage").limit is None
    assert answer.verdict == "not_checked"


def test_waves_that_match_at_the_level_pass() -> None:
    answer = check_test("surge", {**GOOD}, RANDOM)
    assert (answer.verdict, answer.notes) == ("pass", ())


def test_below_the_level_nothing_is_checked() -> None:
    answer = check_test("surge", {**GOOD, "peak_v": 1919.0}, RANDOM)
    assert answer.result("surge_voltage").verdict == "not_checked"
    assert answer.result("surge_unlike").verdict == "not_checked"
    assert answer.result("surge_ear").verdict == "not_checked"
    assert [one.code for one in answer.notes] == ["surge_below"]


@pytest.mark.parametrize(("peak", "told"), [(1977.0, False), (1978.0, True)])
def test_well_above_the_level_is_told(peak: float, told: bool) -> None:
    codes = {one.code for one in check_test("surge", {**GOOD, "peak_v": peak}, RANDOM).notes}
    assert ("surge_above" in codes) == told


@pytest.mark.parametrize("peak", [500.0, 1920.0])
def test_waves_that_differ_without_the_rotor_fail_at_any_level(peak: float) -> None:
    answer = check_test("surge", {**GOOD, "waves_match": "no", "peak_v": peak}, RANDOM)
    assert answer.result("surge_unlike").verdict == "fail"


@pytest.mark.parametrize(
    ("rotor", "verdict"), [("no", "fail"), ("yes", "not_checked"), (None, "not_checked")]
)
def test_a_rotor_in_place_leaves_a_difference_open(rotor: str | None, verdict: str) -> None:
    entries = {**GOOD, "waves_match": "no", "ear_ca": 10.1}
    del entries["rotor_in"]
    if rotor:
        entries["rotor_in"] = rotor
    answer = check_test("surge", entries, RANDOM)
    assert answer.result("surge_ear").verdict == verdict
    assert answer.result("surge_unlike").verdict == verdict
    assert ("rotor_shifts" in {one.code for one in answer.notes}) == (rotor == "yes")
    assert ("rotor_in" in {one.field for one in answer.missing}) == (rotor is None)


def test_ear_at_ten_percent_passes_and_needs_all_pairs() -> None:
    assert check_test("surge", {**GOOD}, RANDOM).result("surge_ear").verdict == "pass"
    two = {key: value for key, value in GOOD.items() if key != "ear_ca"}
    answer = check_test("surge", two, RANDOM)
    assert answer.result("surge_ear").verdict == "not_checked"
    assert "ear_ca" in {one.field for one in answer.missing}
    assert check_test("surge", {**two, "ear_ab": 12.0}, RANDOM).result("surge_ear").verdict == "fail"


def test_without_any_ear_the_waves_decide() -> None:
    answer = check_test("surge", {k: v for k, v in GOOD.items() if k not in EARS}, RANDOM)
    assert (answer.result("surge_ear").verdict, answer.verdict) == ("noted", "pass")


def _missing(machine: Machine, **entries: Value) -> list[str]:
    return sorted(one.field for one in check_test("surge", entries, machine).missing)


def test_what_is_missing() -> None:
    assert _missing(RANDOM, **GOOD) == []
    assert _missing(FORM, **{**GOOD, "wave": "ieee_steep"}) == []
    nothing = ["machine.voltage_v", "machine.winding", "peak_v", "rotor_in", "state", "waves_match"]
    assert _missing(Machine()) == nothing
    assert _missing(FORM, **GOOD) == ["wave"]
    assert _missing(RANDOM, **{**GOOD, "state": "in_service"}) == []
    matched = {key: value for key, value in GOOD.items() if key != "rotor_in"}
    assert _missing(RANDOM, **matched) == []


def test_what_the_notes_say() -> None:
    below = check_test("surge", {**GOOD, "peak_v": 1500.0}, RANDOM)
    assert "Peak 1,500 V is below the test level 1,920 V" in said("surge", below)["surge_below"]
    above = check_test("surge", {**GOOD, "peak_v": 2500.0}, RANDOM)
    assert "Peak 2,500 V is above the test level 1,920 V" in said("surge", above)["surge_above"]
    differ = check_test("surge", {**GOOD, "waves_match": "no"}, RANDOM)
    assert severities(differ) == {"waves_differ": "warn"}
    shifted = check_test("surge", {**GOOD, "waves_match": "no", "rotor_in": "yes"}, RANDOM)
    assert severities(shifted) == {"rotor_shifts": "warn"}
    assert check_test("surge", {**GOOD, "rotor_in": "yes"}, RANDOM).notes == ()
