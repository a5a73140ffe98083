"""Figures from outside the program, asked of the command: each with its source.

Published: read in a copy or secondary table of the standard. Arithmetic: an exact consequence of a definition. Memory:
attributed to the standard from memory, unverified.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.repairs.measurements.readings_file.asking import ask, notes, result

MOTOR_4160 = {"voltage_v": 4160, "winding": "form", "year": 2010}
PLATE = {
    "voltage_v": 460,
    "power_w": {"value": 300, "unit": "hp"},
    "speed_rpm": 1785,
    "frequency_hz": 60,
    "phases": 3,
}
INSULATION = {"method": "ten_degree", "winding_c": 25, "r_1min": 500}
VOLTS = ("v_ab", "v_bc", "v_ca")
AMPS = {"i_a": 1, "i_b": 1, "i_c": 1}
OHMS = ("r_ab", "r_bc", "r_ca")
POINTS = ("vib_top_0", "vib_top_90", "vib_top_axial", "vib_low_0", "vib_low_90")
HIPOT = {"seconds": 60, "outcome": "held", "current": "ac"}
BALANCE = {"method": "grade", "planes": "one", "grade_mm_s": 2.5}


def _uneven(codes: tuple[str, ...], *values: float) -> dict[str, Any]:
    return dict(zip(codes, values, strict=True))


CASES: list[Any] = [
    pytest.param(
        "insulation", {}, INSULATION, "insulation", 176.78, id="500 MΩ at 25 °C, 10 °C rule: published form"
    ),
    pytest.param(
        "insulation",
        {},
        INSULATION | {"method": "thermosetting", "winding_c": 20, "r_1min": 100},
        "insulation",
        39.75,
        id="thermosetting at 20 °C 0.3975: memory",
    ),
    pytest.param(
        "insulation",
        {},
        INSULATION | {"method": "thermosetting", "winding_c": 60, "r_1min": 100},
        "insulation",
        127.0,
        id="thermosetting at 60 °C 1.270: memory",
    ),
    pytest.param(
        "insulation",
        {},
        INSULATION | {"r_1min": 400, "r_10min": 1200},
        "polarization_index",
        3.0,
        id="400 to 1200 MΩ: arithmetic",
    ),
    pytest.param(
        "winding_resistance",
        {},
        _uneven(OHMS, 0.25, 0.25, 0.25) | {"winding_c": 18, "conductor": "copper", "reference": "ref_25"},
        "resistance_corrected",
        0.25693,
        id="0.250 Ω at 18 °C is 0.25693 Ω at 25 °C: arithmetic",
    ),
    pytest.param(
        "hot_resistance",
        {},
        {"cold_ohm": 0.25, "cold_c": 25, "hot_ohm": 0.325, "ambient_c": 25, "conductor": "copper"},
        "hot_temperature",
        102.85,
        id="0.250 to 0.325 Ω from 25 °C: arithmetic",
    ),
    pytest.param(
        "winding_resistance",
        {},
        _uneven(OHMS, 0.25, 0.252, 0.247),
        "resistance_unbalance",
        1.068,
        id="0.250, 0.252, 0.247 Ω: arithmetic",
    ),
    pytest.param(
        "no_load",
        {},
        _uneven(VOLTS, 460, 467, 450) | AMPS,
        "voltage_unbalance",
        1.961,
        id="1.961 %: published",
    ),
    pytest.param(
        "no_load",
        {},
        _uneven(VOLTS, 203, 210, 212) | AMPS,
        "voltage_unbalance",
        2.56,
        id="2.56 %: published as 2.5",
    ),
    pytest.param(
        "nameplate_check", PLATE, {}, "plate_torque", 882.7 * 1.3558179, id="882.7 lb ft: arithmetic"
    ),
    pytest.param(
        "nameplate_check",
        {"speed_rpm": 1185, "frequency_hz": 60},
        {},
        "plate_poles",
        6,
        id="1185 rpm at 60 Hz: arithmetic",
    ),
    pytest.param(
        "nameplate_check",
        PLATE | {"efficiency": {"value": 95.4, "unit": "%"}, "power_factor": 0.86},
        {},
        "plate_fla",
        342.2,
        id="300 hp, 460 V, 95.4 %, 0.86: arithmetic",
    ),
    pytest.param(
        "vibration",
        {},
        {"standard": "nema_resilient", "run_rpm": 1800}
        | {one: {"value": 0.15, "unit": "in/s pk"} for one in POINTS},
        "vib_top_0",
        2.694,
        id="0.15 in/s peak of a sine: arithmetic",
    ),
    pytest.param(
        "sensors",
        {},
        {"kind": "pt100", "readings": [[138.51]], "part_c": 100},
        "sensor_temperature",
        100.0,
        id="138.51 Ω: IEC 60751, memory",
    ),
]


@pytest.mark.parametrize(("test", "motor", "entries", "code", "value"), CASES)
def test_a_figure(
    tmp_path: Path, test: str, motor: dict[str, Any], entries: dict[str, Any], code: str, value: float
) -> None:
    _status, answer = ask(tmp_path, {"test": test, "entries": entries}, motor=motor)
    assert result(answer, code)["value"] == pytest.approx(value, rel=3e-4)


LIMITS: list[Any] = [
    pytest.param(
        "insulation",
        {"voltage_v": 2300, "winding": "form", "year": 1965},
        {},
        "insulation",
        (3.3, None),
        id="kV + 1, before 1970: published",
    ),
    pytest.param(
        "high_potential",
        MOTOR_4160,
        HIPOT | {"category": "new", "applied_v": 9320},
        "hipot_voltage",
        (9320, 9320),
        id="2 E + 1000: published",
    ),
    pytest.param(
        "high_potential",
        MOTOR_4160,
        HIPOT | {"category": "new", "current": "dc", "applied_v": 15844},
        "hipot_voltage",
        (15844, 15844),
        id="times 1.7: published",
    ),
    pytest.param(
        "high_potential",
        MOTOR_4160,
        HIPOT | {"category": "in_service", "applied_v": 5500},
        "hipot_voltage",
        (5200, 6240),
        id="125 to 150 %: published",
    ),
    pytest.param(
        "vibration",
        {"speed_rpm": 1785},
        {"standard": "nema_resilient", "run_rpm": 900},
        "vib_top_0",
        (None, 0.12 * 25.4 / 2**0.5),
        id="900 rpm, 0.12 in/s: published",
    ),
    pytest.param(
        "vibration",
        {},
        {"standard": "nema_resilient", "run_rpm": 720},
        "vib_top_0",
        (None, 0.09 * 25.4 / 2**0.5),
        id="720 rpm, 0.09 in/s: published",
    ),
    pytest.param(
        "balance",
        {},
        BALANCE | {"rotor_mass_kg": 1000, "service_rpm": 1800},
        "balance_a",
        (None, 13263),
        id="G 2.5, 1800 rpm, 1000 kg: arithmetic",
    ),
    pytest.param(
        "balance",
        {},
        BALANCE | {"rotor_mass_kg": {"value": 1000, "unit": "lb"}, "service_rpm": 15000},
        "balance_a",
        (None, 1.0 * 720.08),
        id="G 2.5, 1000 lb, 15000 rpm, 1.0 oz in: published",
    ),
    pytest.param(
        "balance",
        {},
        {
            "method": "four_w_n",
            "planes": "two",
            "service_rpm": 15000,
            "journal_a_kg": {"value": 500, "unit": "lb"},
            "journal_b_kg": {"value": 500, "unit": "lb"},
        },
        "balance_a",
        (None, 0.1333 * 720.08),
        id="4 W / N, 500 lb, 15000 rpm, 0.133 oz in in a plane: published",
    ),
    pytest.param(
        "balance",
        {},
        BALANCE
        | {"planes": "two", "rotor_mass_kg": 753.982, "service_rpm": 1800, "to_a_mm": 600, "to_b_mm": 400},
        "balance_a",
        (None, 4000),
        id="10,000 g mm over 600 and 400 mm, plane a: arithmetic",
    ),
    pytest.param(
        "balance",
        {},
        BALANCE
        | {"planes": "two", "rotor_mass_kg": 753.982, "service_rpm": 1800, "to_a_mm": 600, "to_b_mm": 400},
        "balance_b",
        (None, 6000),
        id="10,000 g mm over 600 and 400 mm, plane b: arithmetic",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "rabbet_nominal_mm": {"value": 16.5, "unit": "in"}},
        "rabbet_size",
        (16.5 * 25.4, 16.505 * 25.4),
        id="P base, AK 16.5 in, rabbet_size: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "rabbet_nominal_mm": {"value": 16.5, "unit": "in"}},
        "rabbet_runout",
        (None, 0.007 * 25.4),
        id="P base, AK 16.5 in, rabbet_runout: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "rabbet_nominal_mm": {"value": 16.5, "unit": "in"}},
        "face_runout",
        (None, 0.007 * 25.4),
        id="P base, AK 16.5 in, face_runout: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "rabbet_nominal_mm": {"value": 24.5, "unit": "in"}},
        "rabbet_size",
        (24.5 * 25.4, 24.507 * 25.4),
        id="P base, AK 24.5 in, rabbet_size: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "rabbet_nominal_mm": {"value": 24.5, "unit": "in"}},
        "rabbet_runout",
        (None, 0.009 * 25.4),
        id="P base, AK 24.5 in, rabbet_runout: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "rabbet_nominal_mm": {"value": 24.5, "unit": "in"}},
        "face_runout",
        (None, 0.009 * 25.4),
        id="P base, AK 24.5 in, face_runout: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "nema", "shaft_diameter_mm": {"value": 2.125, "unit": "in"}},
        "runout",
        (None, 0.0762),
        id="2.125 in, 0.003 in: published",
    ),
    pytest.param(
        "shaft_runout",
        {},
        {"rule": "iec", "shaft_diameter_mm": 90},
        "runout",
        (None, 0.070),
        id="90 mm, 0.070 mm: published",
    ),
]


@pytest.mark.parametrize(("test", "motor", "entries", "code", "ends"), LIMITS)
def test_a_limit(
    tmp_path: Path,
    test: str,
    motor: dict[str, Any],
    entries: dict[str, Any],
    code: str,
    ends: tuple[float | None, float | None],
) -> None:
    _status, answer = ask(tmp_path, {"test": test, "entries": entries}, motor=motor)
    limit = result(answer, code)["limit"]
    # What is published to two figures, to three, or in thousandths of an inch.
    near = {720.08: 2e-2}.get(ends[1] or 0.0, 1e-6 if test == "shaft_runout" else 1e-3)
    for end, expected in zip((limit["low"], limit["high"]), ends, strict=True):
        assert end == (None if expected is None else pytest.approx(expected, rel=near))
    assert limit["source"]
    assert limit["sureness"]


def test_one_winding_fails_as_form_wound_and_passes_as_random_wound(tmp_path: Path) -> None:
    """1.068 %: at most 1 % of form wound, 2 % of random wound, as restated."""
    test = {"test": "winding_resistance", "entries": _uneven(OHMS, 0.25, 0.252, 0.247)}
    assert ask(tmp_path, test, motor={"winding": "form"})[0] == 1
    assert ask(tmp_path, test, motor={"winding": "random"})[0] == 0


def test_the_test_voltage_of_4160_volts(tmp_path: Path) -> None:
    """1000 to 2500 V DC, published."""
    _status, answer = ask(
        tmp_path, {"test": "insulation", "entries": INSULATION | {"test_voltage_v": 500}}, motor=MOTOR_4160
    )
    figures = notes(answer)["test_voltage"]["figures"]
    assert (figures["low"], figures["high"]) == (1000, 2500)


@pytest.mark.parametrize(
    ("state", "wave", "volts"),
    [("new", "ieee_steep", 11888), ("in_service", "ieee_steep", 8916), ("new", "iec_steep", 14066)],
)
def test_surge_levels_of_4160_volts(tmp_path: Path, state: str, wave: str, volts: float) -> None:
    """3.5 pu, 75 % of it, 0.65 (4 E + 5 kV): memory."""
    test = {"test": "surge", "entries": {"state": state, "wave": wave}}
    limit = result(ask(tmp_path, test, motor=MOTOR_4160)[1], "surge_voltage")["limit"]
    assert limit["sureness"] == "memory"
    assert limit["low"] == pytest.approx(volts, rel=1e-4)
