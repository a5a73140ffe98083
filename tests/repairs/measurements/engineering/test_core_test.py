"""Core test: 20 % from memory (AR100), 10 °C common practice."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from repairs.motors.units import QUANTITIES
from tests.repairs.measurements.engineering.saying import said, severities

GOOD = {"before_w_kg": 5.0, "after_w_kg": 5.5, "average_c": 40.0, "hottest_c": 46.0}


def _look(**entries: float) -> Answer:
    return check_test("core_test", {**GOOD, **entries}, Machine())


@pytest.mark.parametrize(("after", "verdict"), [(4.8, "pass"), (6.0, "pass"), (6.001, "fail")])
def test_loss_rise(after: float, verdict: str) -> None:
    answer = _look(after_w_kg=after)
    assert answer.result("core_loss_rise").value == pytest.approx(100 * (after / 5 - 1))
    assert answer.result("core_loss_rise").verdict == verdict


@pytest.mark.parametrize(("hottest", "verdict"), [(50.0, "pass"), (50.1, "fail")])
def test_hot_spot(hottest: float, verdict: str) -> None:
    assert _look(hottest_c=hottest).result("core_hot_spot").verdict == verdict


@pytest.mark.parametrize("without", list(GOOD))
def test_both_tests_and_both_temperatures_are_needed(without: str) -> None:
    answer = check_test("core_test", {k: v for k, v in GOOD.items() if k != without}, Machine())
    assert answer.verdict == "not_checked"
    assert without in {one.field for one in answer.missing}


def test_less_flux_in_the_second_test_hides_no_rise() -> None:
    """5.0 to 5.8 W/kg is 16 %; at 1.2 instead of 1.3 T it would be 36.1 %: 5.8 (1.3/1.2)² / 5."""
    answer = _look(after_w_kg=5.8, flux_before=1.3, flux_after=1.2)
    assert answer.result("core_loss_rise").value == pytest.approx(36.14, abs=0.01)
    assert answer.result("core_loss_rise").verdict == "fail"
    assert [one.code for one in answer.notes] == ["flux_differs"]


def test_more_flux_in_the_second_test_explains_no_rise_away() -> None:
    answer = _look(after_w_kg=6.5, flux_before=1.2, flux_after=1.3)
    assert answer.result("core_loss_rise").value == pytest.approx(30)


def test_one_flux_or_the_same_changes_nothing() -> None:
    assert _look(flux_before=1.3).result("core_loss_rise").value == pytest.approx(10)
    assert _look(flux_before=1.3, flux_after=1.3).notes == ()


def test_a_spot_colder_than_the_average_is_asked() -> None:
    answer = _look(hottest_c=30)
    assert [one.severity for one in answer.notes] == ["doubt"]
    assert answer.result("core_hot_spot").verdict == "not_checked"


def test_kilolines_for_each_square_inch() -> None:
    """1 T is 64.516 kilolines/in²: 1e-8 Wb a line, 25.4 mm an inch."""
    tesla, kilolines = QUANTITIES["flux_density"]
    assert kilolines.from_si(tesla.to_si(1)) == pytest.approx(64.516)


def test_what_the_notes_say() -> None:
    answer = _look(after_w_kg=5.8, flux_before=1.3, flux_after=1.2, hottest_c=30)
    sentences = said("core_test", answer)
    assert "Loss rise 16% as read, 36.1% at the first flux" in sentences["flux_differs"]
    assert severities(answer) == {"flux_differs": "warn", "spot_below_average": "doubt"}
    assert _look().missing == ()
