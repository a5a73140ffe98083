"""Oven charts: 370 °C secondary, 400 °C from memory, drying 105 °C common practice; baking has no published limit."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Row, Value
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

BURN: tuple[Row, ...] = ((0, 25), (60, 200), (120, 350), (180, 360), (240, 358), (300, 150))
DRY: tuple[Row, ...] = ((0, 25), (60, 80), (120, 100), (180, 101), (240, 99))


def _look(purpose: str, chart: tuple[Row, ...], **entries: Value) -> Answer:
    return check_test("oven", {"purpose": purpose, "chart": chart, **entries}, Machine())


def _with_peak(highest: float) -> tuple[Row, ...]:
    return (*BURN[:3], (180, highest), *BURN[4:])


@pytest.mark.parametrize(
    ("purpose", "highest", "verdict"),
    [
        ("burn_off_organic", 370, "pass"),
        ("burn_off_organic", 371, "fail"),
        ("burn_off_inorganic", 400, "pass"),
        ("burn_off_inorganic", 401, "fail"),
        ("bake", 360, "not_checked"),
    ],
)
def test_highest_part_temperature(purpose: str, highest: float, verdict: str) -> None:
    answer = _look(purpose, _with_peak(highest))
    assert answer.result("oven_peak").value == highest
    assert answer.result("oven_peak").verdict == verdict


def test_bake_is_held_to_what_the_varnish_maker_says() -> None:
    maker = Limit(None, 165, Source("data sheet", sureness="entered"), "maker")
    entries: dict[str, Value] = {"purpose": "bake", "chart": ((0, 25), (60, 160), (120, 162)), "set_c": 150.0}
    answer = check_test("oven", {**entries, "hold_min": 60.0}, Machine(), {"oven_peak": (maker,)})
    assert answer.verdict == "pass"


@pytest.mark.parametrize(("hold", "verdict"), [(60, "pass"), (61, "fail")])
def test_time_at_or_above_the_set_temperature(hold: float, verdict: str) -> None:
    """100 and 101 °C are at or above 100 °C, 80 and 99 °C are not: 60 minutes."""
    answer = _look("drying", DRY, set_c=100.0, hold_min=hold)
    assert answer.result("oven_hold").value == 60
    assert answer.result("oven_hold").verdict == verdict


def test_two_short_times_make_no_long_one() -> None:
    chart = ((0, 100), (60, 100), (120, 90), (180, 100), (240, 100), (300, 100))
    assert _look("drying", chart, set_c=100.0, hold_min=180.0).result("oven_hold").value == 120


@pytest.mark.parametrize(
    ("chart", "code"),
    [
        (((0, 25), (60, 80), (50, 100), (120, 100)), "time_goes_back"),
        (((0, 25), (60, 80), (60, 100), (120, 100)), "time_goes_back"),
        (((0, 25), (60, 80), (120, 100), (400, 100)), "chart_has_gap"),
        (((0, 25), (60, None), (120, 100), (180, 100)), "row_incomplete"),
        (((0, 25), (None, 80), (120, 100), (180, 100)), "row_incomplete"),
    ],
)
def test_a_chart_with_a_fault_is_told_and_not_checked(chart: tuple[Row, ...], code: str) -> None:
    answer = _look("drying", chart, set_c=100.0, hold_min=30.0)
    assert answer.verdict == "not_checked"
    assert {one.verdict for one in answer.results} == {"not_checked"}
    assert [one.code for one in answer.notes] == [code]


def test_three_times_the_usual_step_is_no_gap() -> None:
    chart = ((0, 25), (60, 80), (120, 100), (300, 100))
    assert _look("drying", chart, set_c=100.0, hold_min=180.0).verdict == "pass"


def test_too_hot_fails_in_a_chart_with_faults_all_the_same() -> None:
    chart = (*_with_peak(420), (200, 150))
    assert _look("burn_off_organic", chart).result("oven_peak").verdict == "fail"


@pytest.mark.parametrize("without", ["set_c", "hold_min"])
def test_drying_needs_its_temperature_and_time(without: str) -> None:
    entries: dict[str, Value] = {"set_c": 100.0, "hold_min": 60.0}
    del entries[without]
    answer = _look("drying", DRY, **entries)
    assert answer.verdict == "not_checked"
    assert without in {one.field for one in answer.missing}


def test_burn_off_without_a_hold_time_informs() -> None:
    answer = _look("burn_off_organic", BURN, set_c=340.0)
    assert (answer.result("oven_hold").value, answer.verdict) == (120, "pass")


@pytest.mark.parametrize("chart", [(), ((0, 25),)])
def test_one_reading_is_no_chart(chart: tuple[Row, ...]) -> None:
    answer = _look("burn_off_organic", chart)
    assert answer.verdict == "not_checked"
    assert "chart" in {one.field for one in answer.missing}


def test_no_purpose_is_not_checked() -> None:
    answer = check_test("oven", {"chart": BURN}, Machine())
    assert answer.verdict == "not_checked"
    assert "purpose" in {one.field for one in answer.missing}


def test_what_is_missing() -> None:
    assert _look("drying", DRY, set_c=100.0, hold_min=60.0).missing == ()
    assert _look("burn_off_organic", BURN).missing == ()
    nothing = {one.field for one in check_test("oven", {}, Machine()).missing}
    assert nothing == {"purpose", "chart"}
    held = [one.field for one in _look("burn_off_organic", BURN, hold_min=60.0).missing]
    assert held == ["set_c"]


@pytest.mark.parametrize(("highest", "verdict"), [(105, "pass"), (105.1, "fail")])
def test_drying_of_unknown_insulation(highest: float, verdict: str) -> None:
    """105 °C, common practice."""
    answer = _look("drying", (*DRY, (300, highest)), set_c=90.0, hold_min=60.0)
    assert answer.result("oven_peak").verdict == verdict


def test_what_the_notes_say() -> None:
    back = _look("drying", ((0, 25), (60, 80), (50, 100)))
    assert "Time goes from 60 min to 50 min" in said("oven", back)["time_goes_back"]
    gap = _look("drying", ((0, 25), (60, 80), (120, 100), (400, 100)))
    assert (
        "No reading from 120 min to 400 min; the others are about 60 min"
        in said("oven", gap)["chart_has_gap"]
    )
    hole = _look("drying", ((0, 25), (60, None), (120, 100)))
    assert said("oven", hole)["row_incomplete"].startswith("Row 2 has no time or no temperature")
    assert severities(hole) == {"row_incomplete": "warn"}
