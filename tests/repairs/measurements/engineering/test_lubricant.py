"""Oil and grease: no standard limits a quantity. 0.005 D B from memory; a third of the cavity, AR100 in a copy."""

from __future__ import annotations

import pytest
from scipy import constants

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables.lubricant import RULE_SOURCE, by_rule, share
from repairs.motors.units import unit_of
from tests.repairs.measurements.engineering.saying import said, severities


def look(**entries: float | str) -> Answer:
    answer = check_test("lubricant", entries, Machine())
    said("lubricant", answer)
    return answer


def test_rule_of_thumb_by_hand() -> None:
    """A 6220 is 180 mm by 34 mm: 30.6 g; the same in inches and ounces is 0.114 D B."""
    assert by_rule(180, 34) == pytest.approx(30.6)
    ounces = by_rule(180, 34) / (1000 * constants.oz)
    inches = 180 / 25.4 * 34 / 25.4
    assert ounces / inches == pytest.approx(0.114, abs=0.0005)
    assert RULE_SOURCE.sureness == "memory"


def test_share_of_a_cavity() -> None:
    """300 g of 0.9 g/ml in one liter: a third."""
    assert share(300, 1) == pytest.approx(100 / 3)
    answer = look(guide_grease_g=300.0, guide_cavity_l=1.0)
    assert answer.result("guide_cavity").value == pytest.approx(100 / 3)
    assert "cavity_usual" in severities(answer)
    assert "33.3" in said("lubricant", answer)["cavity_usual"]


def test_nothing_is_passed_by_a_limit_that_nobody_gave() -> None:
    answer = look(top_oil_l=20.0, top_capacity_l=20.0, top_level="at_mark", guide_grease_g=30.0)
    assert answer.verdict == "noted"
    assert all(one.limit is None for one in answer.results)


@pytest.mark.parametrize(("liters", "told"), [(22.0, False), (22.1, True), (18.0, False), (17.9, True)])
def test_oil_that_differs_from_the_plate_is_told(liters: float, told: bool) -> None:
    answer = look(top_oil_l=liters, top_capacity_l=20.0, top_level="at_mark")
    assert ("oil_differs" in severities(answer)) is told


def test_level_and_grade() -> None:
    assert severities(look(top_level="above_mark"))["above_mark"] == "warn"
    assert severities(look(bottom_level="below_mark"))["below_mark"] == "warn"
    assert "level_unknown" in severities(look(top_oil_l=20.0))
    assert severities(look(plate_vg=32.0, filled_vg=68.0))["grade_differs"] == "warn"
    assert "grade_differs" not in severities(look(plate_vg=32.0, filled_vg=32.0))


def test_too_much_grease_is_told_and_the_impossible_is_asked() -> None:
    assert severities(look(guide_grease_g=500.0, guide_cavity_l=1.0))["too_full"] == "warn"
    assert "too_full" not in severities(look(guide_grease_g=450.0, guide_cavity_l=1.0))
    assert severities(look(guide_grease_g=5000.0, guide_cavity_l=1.0))["over_full"] == "doubt"


def test_what_is_missing_is_named() -> None:
    missing = look(top_oil_l=20.0, guide_grease_g=30.0).missing
    assert set(missing) == {("top_capacity_l", "oil_top"), ("guide_cavity_l", "guide_cavity")}


def test_quarts_and_gallons() -> None:
    """A US gallon is 231 cubic inches."""
    assert unit_of("volume", "US gal").factor == pytest.approx(231 * constants.inch**3 * 1000)
    assert unit_of("volume", "US qt").factor == pytest.approx(constants.gallon * 1000 / 4)
