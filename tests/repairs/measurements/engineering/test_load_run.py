"""Run under load. 5 % voltage unbalance and 6 to 10 times: secondary; derating read off a curve, from memory. No
standard limits the unbalance of currents under load: it is told, and judged where somebody set a limit."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

MOTOR = Machine(current_a=342, service_factor=1.15)
VOLTS = {"v_ab": 460.0, "v_bc": 460.0, "v_ca": 460.0}
AMPS = {"i_a": 330.0, "i_b": 330.0, "i_c": 330.0}


def _look(machine: Machine = MOTOR, **entries: float) -> Answer:
    return check_test("load_run", {**VOLTS, **AMPS, **entries}, machine)


def test_even_currents_are_told_and_not_judged() -> None:
    answer = _look()
    assert answer.result("load_amps_unbalance").value == 0
    assert answer.result("load_amps_unbalance").verdict == "noted"
    assert (answer.verdict, answer.notes, answer.missing) == ("pass", (), ())


def test_voltage_unbalance() -> None:
    """460/467/450: 1.961 %, published."""
    answer = _look(v_bc=467.0, v_ca=450.0)
    assert answer.result("load_volts_unbalance").value == pytest.approx(1.961, abs=5e-4)
    assert severities(answer) == {"derate": "warn", "supply_explains": "note"}


@pytest.mark.parametrize(("third", "stops"), [(105.0, False), (105.1, True)])
def test_above_five_percent_stops(third: float, stops: bool) -> None:
    answer = _look(v_ab=200 - third, v_bc=100.0, v_ca=third)
    assert (severities(answer).get("do_not_run") == "stop") == stops
    assert ("derate" in severities(answer)) != stops
    assert (answer.verdict == "fail") == stops


@pytest.mark.parametrize(("third", "told"), [(101.0, False), (101.1, True)])
def test_from_one_percent_on_it_is_derated(third: float, told: bool) -> None:
    answer = _look(v_ab=200 - third, v_bc=100.0, v_ca=third)
    assert ("derate" in severities(answer)) == told
    assert ("supply_explains" in severities(answer)) == told


@pytest.mark.parametrize(
    ("volts", "ends", "code"),
    [
        (100.0, (90.0, 110.0), ""),
        (100.0, (89.9, 110.1), "supply_explains_not"),
        (101.0, (89.9, 110.1), "supply_explains_not"),
        (102.0, (80.0, 120.0), "supply_explains"),
        (102.0, (79.9, 120.1), "supply_explains_not"),
    ],
)
def test_what_the_supply_explains(volts: float, ends: tuple[float, float], code: str) -> None:
    """Ten times the voltage's unbalance at most."""
    answer = _look(v_ab=200 - volts, v_bc=100.0, v_ca=volts, i_a=ends[0], i_b=100.0, i_c=ends[1])
    assert {one for one in severities(answer) if one.startswith("supply")} == ({code} if code else set())


def test_a_limit_of_the_customer_judges_it() -> None:
    limit = Limit(None, 5.0, Source("purchase order 7", sureness="entered"), "customer")
    held = {"load_amps_unbalance": (limit,)}
    entries = {**VOLTS, **AMPS, "i_c": 380.0}
    assert check_test("load_run", entries, MOTOR, held).verdict == "fail"


@pytest.mark.parametrize(
    ("amps", "code"),
    [
        (342.0, ""),
        (343.0, "into_service_factor"),
        (342 * 1.15, "into_service_factor"),
        (394.0, "above_plate"),
    ],
)
def test_amps_above_the_plate(amps: float, code: str) -> None:
    answer = _look(i_a=amps, i_b=amps, i_c=amps)
    assert answer.result("load_share").value == pytest.approx(100 * amps / 342)
    assert set(severities(answer)) == ({code} if code else set())


def test_without_a_service_factor_it_is_one() -> None:
    answer = _look(Machine(current_a=342), i_a=343, i_b=343, i_c=343)
    assert set(severities(answer)) == {"above_plate"}


def test_what_is_missing() -> None:
    nothing = check_test("load_run", {}, Machine())
    assert {(one.field, one.result) for one in nothing.missing} == {
        *((code, "load_volts_unbalance") for code in VOLTS),
        *((code, "load_amps_unbalance") for code in AMPS),
    }
    assert nothing.result("load_amps_unbalance").verdict == "not_checked"
    assert [(one.field, one.result) for one in _look(Machine()).missing] == [
        ("machine.current_a", "load_share")
    ]


def test_the_working() -> None:
    lines = {one.symbol: one.value for one in _look(v_bc=467.0, v_ca=450.0).working}
    assert lines["V mean"] == 459
    assert lines["unbalance V"] == pytest.approx(100 * 9 / 459)
    assert lines["I mean"] == 330
    assert lines["derating"] == pytest.approx(1 - 0.05 * (lines["unbalance V"] - 1))
    assert lines["load"] == pytest.approx(100 * 330 / 342)


def test_what_the_notes_say() -> None:
    uneven = said("load_run", _look(v_bc=467.0, v_ca=450.0, i_a=300))
    assert "1.96%: the motor can carry 95.2% of rated power" in uneven["derate"]
    assert "6.25%; voltage unbalance 1.96% alone gives 11.8% to 19.6%" in uneven["supply_explains"]
    assert (
        "20%; voltage unbalance 0% gives at most 0%"
        in (said("load_run", _look(i_a=80, i_b=100, i_c=120))["supply_explains_not"])
    )
    assert "do not run a motor above 5%" in said("load_run", _look(v_ca=530))["do_not_run"]
    over = said("load_run", _look(i_a=350, i_b=350, i_c=350))["into_service_factor"]
    assert "102% of FLA, inside service factor 1.15" in over
    assert "117% of FLA" in said("load_run", _look(i_a=400, i_b=400, i_c=400))["above_plate"]
