"""Runout. NEMA MG 1 4.9.7 and 4.13 table 4-6, ANSI/EASA AR100-2020 table 2-4: seen in secondary copies."""

from __future__ import annotations

import pytest
from scipy import constants

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

INCH = 1000 * constants.inch
BASE = Machine(rabbet_mm=16.5 * INCH)


def look(entries: dict[str, float | str], machine: Machine = BASE) -> Answer:
    answer = check_test("shaft_runout", entries, machine)
    said("shaft_runout", answer)
    return answer


def high(code: str, entries: dict[str, float | str], machine: Machine = BASE) -> float | None:
    limit = look(entries, machine).result(code).limit
    return limit and limit.high


@pytest.mark.parametrize(
    ("inches", "tir"),
    [(1.5, 0.002), (1.625, 0.002), (1.626, 0.003), (2.125, 0.003), (6.5, 0.003), (6.51, None)],
)
def test_nema(inches: float, tir: float | None) -> None:
    """2.125 in: .003 in."""
    expected = None if tir is None else pytest.approx(tir * INCH)
    assert high("runout", {"rule": "nema", "shaft_diameter_mm": inches * INCH}) == expected


@pytest.mark.parametrize(
    ("mm", "tir"),
    [(5.9, None), (6, 0.030), (10, 0.030), (10.1, 0.035), (30, 0.040), (50, 0.050), (80, 0.060), (80.1, 0.070),
     (90, 0.070), (120, 0.070), (180, 0.080), (250, 0.090), (315, 0.100), (400, 0.110), (500, 0.125), (630, 0.140),
     (631, None)],
)  # fmt: skip
def test_iec(mm: float, tir: float | None) -> None:
    """90 mm: 0.070 mm."""
    assert high("runout", {"rule": "iec", "shaft_diameter_mm": mm}) == tir


@pytest.mark.parametrize(
    ("inches", "over", "tir"),
    [
        (11.99, 0.003, 0.004),
        (12, 0.005, 0.007),
        (16.5, 0.005, 0.007),
        (24, 0.005, 0.007),
        (24.5, 0.007, 0.009),
        (40, 0.007, 0.009),
        (60, 0.010, 0.012),
    ],
)
def test_p_base(inches: float, over: float, tir: float) -> None:
    """16.5 in: +.005 and .007 TIR; 24.5 in: +.007 and .009."""
    machine = Machine(rabbet_mm=inches * INCH)
    size = look({}, machine).result("rabbet_size").limit
    assert size is not None
    assert (size.low, size.high) == pytest.approx((inches * INCH, (inches + over) * INCH))
    assert high("rabbet_runout", {}, machine) == pytest.approx(tir * INCH)
    assert high("face_runout", {}, machine) == pytest.approx(tir * INCH)


def test_a_rabbet_at_its_limits_passes_and_below_its_size_fails() -> None:
    shaft: dict[str, float | str] = {"rule": "nema", "shaft_diameter_mm": 54.0, "shaft_tir": 0.0762}
    for read, verdict in ((16.5, "pass"), (16.505, "pass"), (16.5051, "fail"), (16.4999, "fail")):
        answer = look({**shaft, "rabbet_read_mm": read * INCH})
        assert (answer.result("rabbet_size").verdict, answer.verdict) == (verdict, verdict)


def test_the_shaft_alone_can_pass_and_a_part_that_fails_fails_all() -> None:
    shaft: dict[str, float | str] = {"rule": "nema", "shaft_diameter_mm": 54.0, "shaft_tir": 0.0762}
    assert look(shaft, Machine()).verdict == "pass"
    assert look({**shaft, "register_tir": 0.0508}).verdict == "pass"
    assert look({**shaft, "register_tir": 0.0509}).verdict == "fail"
    assert look({**shaft, "face_tir": 0.178}).verdict == "fail"


def test_unknown_is_not_checked() -> None:
    answer = look({"shaft_tir": 0.01, "face_tir": 0.01}, Machine())
    assert answer.result("runout").verdict == answer.result("face_runout").verdict == "not_checked"
    assert {"rule", "shaft_diameter_mm", "rabbet_nominal_mm"} <= {one.field for one in answer.missing}
    assert look({"rule": "nema", "shaft_diameter_mm": 54.0}).verdict == "not_checked"


def test_outside_the_tables_is_told() -> None:
    answer = look({"rule": "nema", "shaft_diameter_mm": 200.0, "shaft_tir": 0.01}, Machine(rabbet_mm=1600))
    assert {"shaft_outside", "rabbet_outside"} <= set(severities(answer))
    assert answer.verdict == "not_checked"


def test_odd_entries_are_asked_and_kept() -> None:
    answer = look({"shaft_tir": 3.0, "rabbet_read_mm": 400.0, "rabbet_nominal_mm": 16.5 * INCH})
    assert severities(answer) == {"mils_typed": "doubt", "other_rabbet": "doubt"}
    assert answer.result("runout").value == 3.0
