"""High-potential test. Levels: NEMA MG 1, IEEE 95 and AR100 as restated in secondary copies; 65 % from memory."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

MOTOR = Machine(voltage_v=4160)
NEW: dict[str, float | str] = {"category": "new", "current": "ac"}
HELD: dict[str, float | str] = {**NEW, "applied_v": 9320.0, "seconds": 60.0, "outcome": "held"}


@pytest.mark.parametrize(
    ("category", "current", "low", "high"),
    [
        ("new", "ac", 9320, 9320),
        ("new", "dc", 15844, 15844),
        ("rewound", "ac", 7456, 7456),
        ("reconditioned", "ac", 6058, 6058),
        ("reconditioned", "dc", 10298.6, 10298.6),
        ("in_service", "ac", 5200, 6240),
        ("in_service", "dc", 8840, 10608),
        ("accessory", "ac", 1500, 1500),
        ("accessory", "dc", 2600, 2600),
    ],
)
def test_levels_of_4160_v(category: str, current: str, low: float, high: float) -> None:
    """New 9320 V AC and 15 844 V DC, in service 5200 to 6240 V AC; DC of a new winding is 1700 + 3.4 E."""
    limit = (
        check_test("high_potential", {"category": category, "current": current}, MOTOR)
        .result("hipot_voltage")
        .limit
    )
    assert limit is not None
    assert (limit.low, limit.high) == (pytest.approx(low), pytest.approx(high))


def test_only_65_percent_is_from_memory() -> None:
    sure = {}
    for category in ("new", "rewound", "reconditioned", "in_service", "accessory"):
        limit = (
            check_test("high_potential", {"category": category, "current": "ac"}, MOTOR)
            .result("hipot_voltage")
            .limit
        )
        sure[category] = limit and limit.source.sureness
    assert [name for name, one in sure.items() if one == "memory"] == ["reconditioned"]


def test_at_the_level_for_a_minute_passes() -> None:
    answer = check_test("high_potential", {**HELD, "leakage_ua": 12.0}, MOTOR)
    assert answer.verdict == "pass"
    assert answer.result("hipot_leakage").verdict == "noted"
    assert answer.notes == ()


@pytest.mark.parametrize(
    ("change", "note"), [({"applied_v": 9319.0}, "level_not_reached"), ({"seconds": 59.0}, "too_short")]
)
def test_below_the_level_or_too_short_is_not_checked(change: dict[str, float], note: str) -> None:
    answer = check_test("high_potential", {**HELD, **change}, MOTOR)
    assert answer.verdict == "not_checked"
    assert answer.result("hipot_breakdowns").verdict == "not_checked"
    assert [one.code for one in answer.notes] == [note]


def test_above_the_level_stops() -> None:
    answer = check_test("high_potential", {**HELD, "applied_v": 9321.0}, MOTOR)
    assert answer.verdict == "fail"
    assert [(one.code, one.severity) for one in answer.notes] == [("level_exceeded", "stop")]


@pytest.mark.parametrize("applied", [4000.0, 9320.0])
def test_a_breakdown_fails_at_any_voltage(applied: float) -> None:
    answer = check_test(
        "high_potential", {**NEW, "applied_v": applied, "seconds": 5.0, "outcome": "broke_down"}, MOTOR
    )
    assert answer.result("hipot_breakdowns").verdict == "fail"
    assert "broke_down" in {one.code for one in answer.notes}


@pytest.mark.parametrize("without", ["category", "current", "applied_v", "seconds", "outcome"])
def test_what_is_missing_is_not_checked(without: str) -> None:
    answer = check_test("high_potential", {k: v for k, v in HELD.items() if k != without}, MOTOR)
    assert answer.verdict == "not_checked"
    assert without in {one.field for one in answer.missing}


def test_no_rated_voltage_is_not_checked() -> None:
    answer = check_test("high_potential", {**HELD}, Machine())
    assert answer.verdict == "not_checked"
    assert "machine.voltage_v" in {one.field for one in answer.missing}


def test_accessories_need_no_rated_voltage() -> None:
    entries = {**HELD, "category": "accessory", "applied_v": 1500.0}
    assert check_test("high_potential", entries, Machine()).verdict == "pass"


def test_a_level_agreed_with_the_customer_goes_first() -> None:
    answer = check_test("high_potential", {**HELD, "agreed_v": 6000.0, "applied_v": 6000.0}, MOTOR)
    limit = answer.result("hipot_voltage").limit
    assert (answer.verdict, limit and limit.level) == ("pass", "customer")
    above = check_test("high_potential", {**HELD, "agreed_v": 9500.0, "applied_v": 9500.0}, MOTOR)
    assert [one.code for one in above.notes] == ["agreed_above"]


def test_what_is_missing_of_nothing_and_of_a_whole_test() -> None:
    assert check_test("high_potential", {**HELD}, MOTOR).missing == ()
    nothing = {one.field for one in check_test("high_potential", {}, Machine()).missing}
    assert nothing == {"category", "current", "machine.voltage_v", "applied_v", "seconds", "outcome"}


def test_what_the_notes_say() -> None:
    over = check_test("high_potential", {**HELD, "applied_v": 9900.0}, MOTOR)
    assert said("high_potential", over)["level_exceeded"].startswith(
        "9,900 V applied; the highest level is 9,320 V"
    )
    below = check_test("high_potential", {**HELD, "applied_v": 9000.0, "seconds": 30.0}, MOTOR)
    sentences = said("high_potential", below)
    assert "9,000 V applied, below the test level 9,320 V" in sentences["level_not_reached"]
    assert "on for 30 s; the test takes 60 s" in sentences["too_short"]
    broken = check_test("high_potential", {**HELD, "outcome": "broke_down"}, MOTOR)
    assert "broke down at 9,320 V" in said("high_potential", broken)["broke_down"]
    agreed = check_test("high_potential", {**HELD, "agreed_v": 9500.0, "applied_v": 9500.0}, MOTOR)
    assert "9,500 V is above the published 9,320 V" in said("high_potential", agreed)["agreed_above"]
    assert severities(below) == {"level_not_reached": "warn", "too_short": "warn"}
