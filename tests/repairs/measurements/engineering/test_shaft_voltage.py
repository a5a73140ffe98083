"""Shaft voltage: 0.3 V peak from memory, unverified; 0.5 V rms and 1 MΩ of a bearing: common practice."""

from __future__ import annotations

from math import sqrt

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Value
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

PLAIN: dict[str, Value] = {"shaft_v": 0.2, "read_as": "peak", "supply": "sine", "insulated": "no"}


def _look(**entries: Value) -> Answer:
    return check_test("shaft_voltage", {**PLAIN, **entries}, Machine())


def _without(*codes: str, **entries: Value) -> Answer:
    kept = {key: value for key, value in {**PLAIN, **entries}.items() if key not in codes}
    return check_test("shaft_voltage", kept, Machine())


@pytest.mark.parametrize(("volts", "verdict"), [(0.3, "pass"), (0.301, "fail")])
def test_peak_on_a_sine(volts: float, verdict: str) -> None:
    answer = _look(shaft_v=volts)
    assert answer.result("shaft_voltage").verdict == verdict
    assert ("consider_insulating" in {one.code for one in answer.notes}) == (verdict == "fail")


@pytest.mark.parametrize(("volts", "verdict"), [(0.212, "pass"), (0.213, "fail")])
def test_rms_on_a_sine(volts: float, verdict: str) -> None:
    """0.3 V peak is 0.2121 V rms."""
    answer = _look(shaft_v=volts, read_as="rms")
    assert answer.result("shaft_voltage").value == pytest.approx(volts * sqrt(2))
    assert answer.result("shaft_voltage").verdict == verdict


@pytest.mark.parametrize(
    ("volts", "read_as", "told"),
    [(0.5, "rms", False), (0.501, "rms", True), (0.7071, "peak", False), (0.708, "peak", True)],
)
@pytest.mark.parametrize("insulated", ["yes", "no"])
def test_half_a_volt_rms_is_the_shops_flag(volts: float, read_as: str, told: bool, insulated: str) -> None:
    """0.5 V rms is 0.70711 V peak of a sine."""
    answer = _look(shaft_v=volts, read_as=read_as, insulated=insulated)
    assert ("shop_flag" in severities(answer)) == told
    assert severities(answer).get("shop_flag", "note") == "note"


def test_the_shops_flag_is_for_a_sine() -> None:
    assert "shop_flag" not in severities(_look(shaft_v=3.0, read_as="rms", supply="inverter"))
    assert "shop_flag" not in severities(_without("supply", shaft_v=3.0))


def test_rms_of_a_drive_has_no_peak() -> None:
    answer = _look(read_as="rms", supply="inverter")
    assert answer.result("shaft_voltage").value is None
    assert answer.verdict == "not_checked"


def test_the_limit_of_a_sine_does_not_judge_a_drive() -> None:
    answer = _look(shaft_v=3.0, supply="inverter")
    assert answer.result("shaft_voltage").verdict == "not_checked"
    assert "inverter_supply" in {one.code for one in answer.notes}


def test_an_insulated_bearing_is_what_is_judged() -> None:
    answer = _look(shaft_v=0.7, insulated="yes", bearing_mohm=1.0, bearing_test_v=500.0)
    assert answer.result("shaft_voltage").verdict == "noted"
    assert answer.verdict == "pass"
    assert [one.code for one in answer.notes] == ["insulation_carries"]
    assert _look(insulated="yes", bearing_mohm=0.99).verdict == "fail"


def test_an_insulated_bearing_that_was_not_measured_is_not_checked() -> None:
    answer = _look(insulated="yes")
    assert answer.verdict == "not_checked"
    assert "bearing_mohm" in {one.field for one in answer.missing}


@pytest.mark.parametrize(("volts", "verdict"), [(0.2, "pass"), (0.5, "not_checked")])
def test_nobody_said_whether_a_bearing_is_insulated(volts: float, verdict: str) -> None:
    answer = _without("insulated", shaft_v=volts)
    assert answer.result("shaft_voltage").verdict == verdict
    assert answer.verdict == "not_checked"
    assert "insulated" in {one.field for one in answer.missing}


@pytest.mark.parametrize("code", ["shaft_v", "read_as", "supply"])
def test_what_is_missing_is_not_checked(code: str) -> None:
    answer = _without(code)
    assert answer.verdict == "not_checked"
    assert code in {one.field for one in answer.missing}


def test_another_test_voltage_and_an_odd_pair_are_told() -> None:
    answer = _look(bearing_mohm=5.0, bearing_test_v=1000.0)
    assert {one.code for one in answer.notes} == {"bearing_test_voltage", "nothing_insulated"}


def test_what_is_missing() -> None:
    assert _look().missing == ()
    assert _look(insulated="yes", bearing_mohm=5.0).missing == ()
    nothing = {one.field for one in check_test("shaft_voltage", {}, Machine()).missing}
    assert nothing == {"shaft_v", "read_as", "supply", "insulated"}
    open_ones = [(one.field, one.result) for one in _without("insulated", shaft_v=0.5).missing]
    assert open_ones == [("insulated", "shaft_voltage"), ("insulated", "bearing_insulation")]


def test_what_the_notes_say() -> None:
    over = said("shaft_voltage", _look(shaft_v=0.5))
    assert over["consider_insulating"].startswith("Shaft voltage 0.5 V peak is above 0.3 V")
    flagged = said("shaft_voltage", _look(shaft_v=0.6, read_as="rms"))["shop_flag"]
    assert flagged.startswith("Shaft voltage 0.6 V rms is above 0.5 V")
    carried = _look(shaft_v=0.5, insulated="yes", bearing_mohm=5.0, bearing_test_v=1000.0)
    assert "0.5 V peak is above 0.3 V" in said("shaft_voltage", carried)["insulation_carries"]
    assert (
        "tested at 1,000 V; the limit is for 500 V DC"
        in said("shaft_voltage", carried)["bearing_test_voltage"]
    )
    assert severities(carried) == {"insulation_carries": "warn", "bearing_test_voltage": "warn"}
    assert severities(_look(bearing_mohm=5.0)) == {"nothing_insulated": "doubt"}
    assert severities(_look(supply="inverter")) == {"inverter_supply": "note"}
