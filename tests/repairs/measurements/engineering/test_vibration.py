"""Vibration. Figures: NEMA MG 1 part 7 and IEC 60034-14 in secondary copies; ISO 20816-3 from memory, unverified."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sin, sqrt

import pytest
from scipy import constants

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.subjects.vibration import POINTS
from repairs.measurements.engineering.tables.vibration import velocity
from repairs.motors.units import QUANTITIES, unit_of
from tests.repairs.measurements.engineering.saying import said, severities

INCHES = unit_of("vibration", "in/s pk")
FAST = Machine(speed_rpm=1785, power_w=223_710)
NEMA = {"standard": "nema_resilient", "uncoupled": "yes"}
ALL = dict.fromkeys(POINTS, 1.0)


def look(entries: dict[str, float | str], machine: Machine = FAST) -> Answer:
    answer = check_test("vibration", entries, machine)
    said("vibration", answer)
    return answer


def highest(entries: dict[str, float | str], machine: Machine = FAST) -> float | None:
    limit = look(entries, machine).result("vib_top_0").limit
    return limit and limit.high


@pytest.mark.parametrize(
    ("rpm", "inches"),
    [
        (3600, 0.15),
        (1785, 0.15),
        (1190, 0.15),
        (900, 0.12),
        (894, 0.12),
        (720, 0.09),
        (600, 0.08),
        (594, 0.08),
        (1140, 0.15),
        (855, 0.12),
        (684, 0.09),
        (570, 0.08),
    ],
)
def test_nema_by_speed(rpm: float, inches: float) -> None:
    """Table values of NEMA MG 1 part 7 as copied: .15 from 1200 rpm, 900 .12, 720 .09, 600 .08 in/s peak."""
    assert highest(NEMA, Machine(speed_rpm=rpm)) == pytest.approx(INCHES.to_si(inches), rel=1e-12)
    rigid = highest({"standard": "nema_rigid"}, Machine(speed_rpm=rpm))
    assert rigid == pytest.approx(INCHES.to_si(0.8 * inches), rel=1e-12)


def test_nema_between_the_rows_keeps_the_displacement() -> None:
    """0.0025 in p-p, from which the rows come: 1000 rpm 0.1309, 514 rpm 0.0673 in/s peak; 900 rounds to .12."""
    for rpm in (1139, 1000, 901, 854, 750, 721, 683, 601, 569, 514):
        exact = pi * rpm / 60 * 0.0025
        assert highest(NEMA, Machine(speed_rpm=rpm)) == pytest.approx(INCHES.to_si(exact))
    assert pi * 900 / 60 * 0.0025 == pytest.approx(0.12, abs=0.005)


def test_inches_peak_to_mm_rms() -> None:
    """0.15 in/s peak is 2.69 mm/s rms: arithmetic, the inch from scipy's constants; about 18 for 1."""
    assert INCHES.to_si(0.15) == pytest.approx(0.15 * constants.inch * 1000 / sqrt(2))
    assert INCHES.to_si(0.15) == pytest.approx(2.69, abs=0.005)
    assert INCHES.to_si(1) == pytest.approx(18, abs=0.05)
    assert QUANTITIES["displacement"][1].to_si(1) == pytest.approx(1e6 * constants.mil)


def test_displacement_to_velocity_against_a_sampled_sine() -> None:
    """50 µm p-p at 30 Hz, its derivative summed over one period by points."""
    amplitude, frequency, points = 0.025, 30.0, 100_000
    step = 1 / frequency / points
    x = [amplitude * sin(2 * pi * frequency * i * step) for i in range(points + 1)]
    rms = sqrt(sum(((b - a) / step) ** 2 for a, b in pairwise(x)) / points)
    assert velocity(50, 30) == pytest.approx(rms, rel=1e-6)


@pytest.mark.parametrize(
    ("grade", "height", "mounting", "limit"),
    [
        ("iec_a", 56, "free", 1.6),
        ("iec_a", 132, "rigid", 1.3),
        ("iec_a", 133, "free", 2.2),
        ("iec_a", 280, "rigid", 1.8),
        ("iec_a", 315, "free", 2.8),
        ("iec_a", 500, "rigid", 2.3),
        ("iec_b", 112, "free", 0.7),
        ("iec_b", 112, "rigid", None),
        ("iec_b", 280, "free", 1.1),
        ("iec_b", 315, "rigid", 1.5),
        ("iec_a", 50, "free", None),
        ("iec_a", 315, "flexible", None),
    ],
)
def test_iec(grade: str, height: float, mounting: str, limit: float | None) -> None:
    assert highest({"standard": grade, "shaft_height_mm": height, "mounting": mounting}) == limit


@pytest.mark.parametrize(
    ("power", "mounting", "limit"),
    [
        (300_000, "rigid", 2.8),
        (300_001, "rigid", 4.5),
        (300_001, "flexible", 7.1),
        (200_000, "flexible", 4.5),
        (15_000, "rigid", None),
        (200_000, "free", None),
    ],
)
def test_iso_in_place(power: float, mounting: str, limit: float | None) -> None:
    machine = Machine(speed_rpm=1785, power_w=power)
    assert highest({"standard": "iso_in_situ", "mounting": mounting, "uncoupled": "no"}, machine) == limit


def test_iso_says_the_zone_of_the_worst_point() -> None:
    entries = {"standard": "iso_in_situ", "mounting": "rigid", "uncoupled": "no", **ALL, "vib_top_90": 2.8}
    answer = look(entries)
    assert "zone B" in said("vibration", answer)["zone"]
    assert answer.verdict == "pass"
    assert "zone C" in said("vibration", look({**entries, "vib_top_90": 2.81}))["zone"]
    assert look({**entries, "vib_top_90": 2.81}).verdict == "fail"


def test_a_point_at_the_limit_passes_and_above_it_fails() -> None:
    at = INCHES.to_si(0.15)
    assert look({**NEMA, **ALL, "vib_top_0": at}).verdict == "pass"
    answer = look({**NEMA, **ALL, "vib_top_0": at * 1.001})
    assert [one.code for one in answer.results if one.verdict == "fail"] == ["vib_top_0"]


def test_every_point_is_asked_for() -> None:
    answer = look({**NEMA, **ALL, "vib_low_90": ""})
    assert answer.verdict == "not_checked"
    assert ("vib_low_90", "vib_low_90") in answer.missing


def test_without_a_speed_or_a_standard_nothing_is_checked() -> None:
    for entries, machine, field in (
        ({**NEMA, **ALL}, Machine(), "run_rpm"),
        (ALL, FAST, "standard"),
        ({**ALL, "standard": "iec_a", "mounting": "free"}, FAST, "shaft_height_mm"),
        ({**ALL, "standard": "iec_a", "shaft_height_mm": 315.0}, FAST, "mounting"),
        ({**ALL, "standard": "iso_in_situ"}, Machine(speed_rpm=900), "machine.power_w"),
        ({**ALL, "standard": "iec_a", "shaft_height_mm": 315, "mounting": "free"}, Machine(speed_rpm=9), "standard"),
    ):  # fmt: skip
        answer = look(entries, machine)
        assert {one.verdict for one in answer.results} == {"not_checked"}
        assert {one.field for one in answer.missing} == {field}


def test_a_motor_that_ran_otherwise_than_the_limit_asks_is_not_checked() -> None:
    answer = look({**NEMA, **ALL, "uncoupled": "no"})
    assert answer.verdict == "not_checked"
    assert severities(answer)["coupling_differs"] == "warn"
    in_place = {**ALL, "standard": "iso_in_situ", "mounting": "rigid", "uncoupled": "yes"}
    assert look(in_place).verdict == "not_checked"
    assert "coupling_unknown" in severities(look({**ALL, "standard": "nema_rigid"}))


def test_a_displacement_alone_can_fail_and_never_passes() -> None:
    """60 µm p-p at 30 Hz is 4.0 mm/s rms, 20 µm 1.33."""
    rest = {**NEMA, **ALL, "vib_top_0": "", "disp_hz": 30.0}
    assert look({**rest, "disp_top_0": 60.0}).result("vib_top_0").verdict == "fail"
    low = look({**rest, "disp_top_0": 20.0})
    assert low.result("vib_top_0").verdict == "not_checked"
    assert "displacement_only" in severities(low)
    without = look({**rest, "disp_top_0": 60.0, "disp_hz": ""})
    assert ("disp_hz", "vib_top_0") in without.missing


def test_a_part_above_the_whole_is_asked() -> None:
    answer = look({**NEMA, **ALL, "disp_top_0": 60.0, "disp_hz": 30.0})
    assert severities(answer)["part_over_whole"] == "doubt"
    assert answer.result("vib_top_0").value == 1.0


def test_wrong_units_are_asked_and_kept() -> None:
    answer = look({**NEMA, **ALL, "vib_top_0": INCHES.to_si(2.5), "vib_low_0": 0.05})
    assert severities(answer)["inches_typed"] == severities(answer)["mm_typed"] == "doubt"
    assert "0.139 in/s pk" in said("vibration", answer)["inches_typed"]
    assert answer.result("vib_low_0").value == 0.05


def test_top_far_above_bottom_is_suspect() -> None:
    far = look({**NEMA, **ALL, "top_1x": 3.0, "low_1x": 1.0})
    assert severities(far)["reed_suspect"] == "warn"
    assert "reed_suspect" not in severities(look({**NEMA, **ALL, "top_1x": 2.9, "low_1x": 1.0}))
    overall = look({**NEMA, **ALL, "vib_top_90": 2.6, "vib_low_0": 0.8, "vib_low_90": 0.6})
    assert severities(overall)["top_far_above"] == "warn"


@pytest.mark.parametrize(("reed", "near"), [(25.5, True), (34.5, True), (25.4, False), (34.6, False)])
def test_reed_frequency_near_running_speed(reed: float, near: bool) -> None:
    """Within 15 % of 1800 rpm (30 Hz): common practice."""
    answer = look({**NEMA, **ALL, "run_rpm": 1800.0, "reed_hz": reed})
    assert ("reed_near" in severities(answer)) is near


def test_below_600_rpm_the_band_is_said() -> None:
    assert "band" in severities(look({**NEMA, **ALL, "run_rpm": 594.0}))
    assert "band" not in severities(look({**NEMA, **ALL, "run_rpm": 600.0}))
