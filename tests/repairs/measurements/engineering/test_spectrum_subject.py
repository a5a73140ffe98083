"""A spectrum as a shop test: peaks and orders that were entered. No standard limits a peak."""

from __future__ import annotations

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Value
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

SEARCH: dict[str, Value] = {"from_hz": 0.0, "to_hz": 1000.0, "resolution_hz": 0.25, "run_rpm": 1800.0}
PEAKS = ((160.0, 0.3), (30.0, 2.0), (60.0, 0.5), (130.0, 0.1), (190.0, 0.1))


def look(*orders: float, **entries: Value) -> Answer:
    rows = tuple((one,) for one in orders)
    answer = check_test("spectrum", {**SEARCH, "peaks": PEAKS, "orders": rows, **entries}, Machine())
    said("spectrum", answer)
    return answer


def test_orders_harmonics_and_sidebands_are_counted() -> None:
    answer = look(160.2, 90.5)
    assert [one.value for one in answer.results] == [1, 2, 2]
    assert answer.verdict == "noted"
    assert [one.code for one in answer.notes] == ["order_found", "order_none"]
    assert "none found from 0 Hz to 1" in said("spectrum", answer)["order_none"]


def test_none_found_is_said_only_with_the_range() -> None:
    for field in ("from_hz", "to_hz", "resolution_hz"):
        answer = look(160.0, **{field: ""})
        assert answer.verdict == "not_checked"
        assert not {"order_none", "order_found"} & set(severities(answer))
        assert (field, "orders_found") in answer.missing


def test_an_order_outside_the_range_is_not_checked() -> None:
    answer = look(160.0, 1200.0)
    assert "order_outside" in severities(answer)
    assert answer.result("orders_found").verdict == "not_checked"


def test_reversed_range_is_asked() -> None:
    answer = look(160.0, from_hz=1000.0, to_hz=0.0)
    assert severities(answer) == {"range_reversed": "doubt"}
    assert answer.verdict == "not_checked"


def test_minutes_as_seconds_and_peaks_beyond_are_asked() -> None:
    answer = look(peaks=((1800.0, 2.0),))
    assert severities(answer)["peak_beyond"] == "doubt"
    wide = look(peaks=((1800.0, 2.0),), to_hz=6000.0)
    assert severities(wide)["cpm_as_hz"] == "doubt"


def test_without_speed_or_orders_the_rest_is_counted() -> None:
    answer = look(160.0, run_rpm="")
    assert [one.verdict for one in answer.results] == ["noted", "not_checked", "not_checked"]
    none = look()
    assert [one.verdict for one in none.results] == ["not_checked", "noted", "not_checked"]
    assert ("orders", "orders_found") in none.missing
