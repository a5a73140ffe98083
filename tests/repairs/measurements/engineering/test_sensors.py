"""Temperature sensors. Platinum against an independent IEC 60751 library; Ni 120 from memory against the same
library's curve; Cu 10 and tripping thermistors from memory, unverified."""

from __future__ import annotations

import pytest
import rtd_sensor
from rtd_sensor.tolerance import thermometer_tolerance_c

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Row, Value
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables import sensors as table
from tests.repairs.measurements.engineering.saying import said, severities


def _look(kind: str, *ohms: float | None, **entries: Value) -> Answer:
    rows: tuple[Row, ...] = tuple((ohm, None) for ohm in ohms)
    return check_test("sensors", {"kind": kind, "readings": rows, **entries}, Machine())


def _degrees(kind: str, ohm: float, **entries: Value) -> float | None:
    return _look(kind, ohm, **entries).result("sensor_temperature").value


def test_pt100_at_100_degrees() -> None:
    """138.51 Ω, IEC 60751."""
    assert 100 * table.platinum_ratio(100) == pytest.approx(138.5055, abs=1e-9)
    assert _degrees("pt100", 138.5055) == pytest.approx(100, abs=1e-6)


@pytest.mark.parametrize("at_c", [-200, -120.5, -40, -0.5, 0, 0.5, 25, 100, 155, 400, 850])
@pytest.mark.parametrize(("kind", "other"), [("pt100", rtd_sensor.pt100), ("pt1000", rtd_sensor.pt1000)])
def test_platinum_both_ways_as_an_independent_library(kind: str, other: object, at_c: float) -> None:
    ohm = other.celsius_to_resistance(at_c)  # type: ignore[attr-defined]
    assert table.PLATINUM[kind] * table.platinum_ratio(at_c) == pytest.approx(ohm, rel=1e-12)
    assert _degrees(kind, ohm) == pytest.approx(at_c, abs=1e-6)


@pytest.mark.parametrize("at_c", range(-80, 201, 10))
def test_nickel_as_an_independent_library(at_c: float) -> None:
    """The table is from memory: within 0.02 Ω (0.03 K) of the library's curve, straight pieces within 0.1 K."""
    other = rtd_sensor.ni120
    assert table.nickel_ohm(at_c) == pytest.approx(other.celsius_to_resistance(at_c), abs=0.02)
    if at_c < 200:
        assert _degrees("ni120", other.celsius_to_resistance(at_c + 5)) == pytest.approx(at_c + 5, abs=0.1)


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [("pt100", -200, 850), ("pt1000", -200, 850), ("ni120", -80, 200), ("cu10", -50, 150)],
)
def test_ranges(kind: str, low: float, high: float) -> None:
    of_kind = table.curve(kind)
    assert of_kind is not None
    of, within, _source = of_kind
    assert within == (low, high)
    for ohm, known in ((of(low), True), (of(high), True), (of(low) - 0.01, False), (of(high) + 0.01, False)):
        assert (_degrees(kind, ohm) is not None) == known


def test_copper() -> None:
    """10 Ω at 25 °C, from memory; 9.035 Ω at 0 °C is rounded to half a milliohm, 0.55 mΩ at 25 °C."""
    assert table.copper_ohm(25) == pytest.approx(10.0, abs=5.6e-4)
    assert _degrees("cu10", table.copper_ohm(120)) == pytest.approx(120)


def test_ntc_by_its_own_figures() -> None:
    """10 kΩ, β 3950: 3588 Ω at 50 °C, 10 000 exp(3950 (1/323.15 - 1/298.15)), worked by hand."""
    assert _degrees("ntc", 3588.2, ntc_r25=10_000.0, ntc_beta=3950.0) == pytest.approx(50, abs=0.01)
    answer = _look("ntc", 3588.2)
    assert answer.verdict == "not_checked"
    assert {one.field for one in answer.missing} >= {"ntc_r25", "ntc_beta"}


@pytest.mark.parametrize(("name", "library"), [("class_aa", "AA"), ("class_a", "A"), ("class_b", "B")])
def test_tolerance_classes_as_an_independent_library(name: str, library: str) -> None:
    limit = _look("pt100", part_c=60.0, tolerance_class=name).result("sensor_error").limit
    assert limit is not None
    other = thermometer_tolerance_c(60.0, tolerance_class=library, construction="wire_wound")  # type: ignore[arg-type]
    assert limit.high == pytest.approx(other)


@pytest.mark.parametrize(("off", "verdict"), [(0.399, "pass"), (0.401, "fail")])
def test_error_against_class_b_at_20_degrees(off: float, verdict: str) -> None:
    ohm = 100 * table.platinum_ratio(20 + off)
    answer = _look("pt100", ohm, part_c=20.0, tolerance_class="class_b")
    assert answer.result("sensor_error").verdict == verdict
    assert ("leads_count" in {one.code for one in answer.notes}) == (verdict == "fail")


@pytest.mark.parametrize(("off", "told"), [(1.999, False), (2.001, True)])
def test_without_a_class_a_difference_informs_and_a_large_one_is_told(off: float, told: bool) -> None:
    """2 K: common practice."""
    answer = _look(
        "pt100", 100 * table.platinum_ratio(20 + off), 100 * table.platinum_ratio(20.5), part_c=20.0
    )
    assert answer.result("sensor_error").verdict == "noted"
    assert ("far_from_part" in {one.code for one in answer.notes}) == told


def test_leads_are_taken_off() -> None:
    rows = ((109.0, 1.2),)
    answer = check_test("sensors", {"kind": "pt100", "readings": rows}, Machine())
    assert answer.result("sensor_temperature").value == pytest.approx(
        rtd_sensor.pt100.resistance_to_celsius(107.8)
    )


@pytest.mark.parametrize(("apart", "verdict"), [(1.999, "pass"), (2.001, "fail")])
def test_spread_of_a_pair(apart: float, verdict: str) -> None:
    answer = _look("pt100", 100 * table.platinum_ratio(22), 100 * table.platinum_ratio(22 + apart))
    assert answer.result("sensor_spread").verdict == verdict


@pytest.mark.parametrize("ohm", [0.0, 1e6])
def test_an_open_or_shorted_sensor_fails(ohm: float) -> None:
    answer = _look("pt100", 108.0, ohm)
    assert answer.result("sensor_faults").value == 1
    assert answer.verdict == "fail"
    assert answer.result("sensor_spread").verdict == "not_checked"
    assert [one.params["place"] for one in answer.notes if one.code == "outside_curve"] == [2]


def test_a_row_without_a_reading_leaves_the_spread_open() -> None:
    answer = _look("pt100", 108.0, None)
    assert answer.result("sensor_spread").verdict == "not_checked"
    assert "ohm" in {one.field for one in answer.missing}


PTC: dict[str, Value] = {"ptc_threshold_c": 150.0, "ptc_pieces": 3.0}


@pytest.mark.parametrize(
    ("part_c", "ohm", "verdict"),
    [
        (25, 300, "pass"),
        (25, 750, "pass"),
        (25, 751, "fail"),
        (25, 0, "fail"),
        (130, 751, "fail"),
        (145, 1650, "pass"),
        (145, 1651, "fail"),
        (150, 1000, "not_checked"),
        (155, 3990, "pass"),
        (155, 3989, "fail"),
        (165, 12_000, "pass"),
        (165, 11_999, "fail"),
    ],
)
def test_tripping_thermistors(part_c: float, ohm: float, verdict: str) -> None:
    """Three in series: 250, 550, 1330 and 4000 Ω each, from memory."""
    answer = _look("ptc", ohm, part_c=part_c, **PTC)
    assert answer.result("ptc_resistance").verdict == verdict
    assert ("near_threshold" in {one.code for one in answer.notes}) == (part_c == 150)


@pytest.mark.parametrize("without", ["part_c", "ptc_threshold_c", "ptc_pieces"])
def test_tripping_thermistors_need_all_three(without: str) -> None:
    entries: dict[str, Value] = {"part_c": 25.0, **PTC}
    del entries[without]
    answer = _look("ptc", 300, **entries)
    assert answer.verdict == "not_checked"
    assert without in {one.field for one in answer.missing}


def test_insulation_of_the_circuit_has_no_published_limit() -> None:
    assert _look("pt100", 108.0).verdict == "pass"
    assert _look("pt100", 108.0, circuit_mohm=200.0).result("sensor_insulation").verdict == "not_checked"


def test_no_kind_is_not_checked() -> None:
    answer = check_test("sensors", {"readings": ((108.0, None),)}, Machine())
    assert answer.verdict == "not_checked"
    assert "kind" in {one.field for one in answer.missing}


def test_what_is_missing() -> None:
    whole = _look("pt100", 108.0, 108.1, part_c=20.8, tolerance_class="class_b")
    assert (whole.missing, whole.notes, whole.verdict) == ((), (), "pass")
    nothing = {one.field for one in check_test("sensors", {}, Machine()).missing}
    assert nothing == {"kind", "ohm"}
    assert _look("ptc", 300, part_c=25.0, **PTC).missing == ()
    assert [(one.field, one.result) for one in _look("ptc", part_c=25.0, **PTC).missing] == [
        ("ohm", "ptc_resistance")
    ]
    assert _look("ntc", 3588.2, ntc_r25=10_000.0, ntc_beta=3950.0).missing == ()


def test_the_worst_of_several_thermistors_is_told() -> None:
    cold = _look("ptc", 300, 900, 320, part_c=25.0, **PTC).result("ptc_resistance")
    assert (cold.value, cold.verdict) == (900, "fail")
    assert _look("ptc", 300, 320, part_c=25.0, **PTC).result("ptc_resistance").value == 320
    assert _look("ptc", 13_000, 20_000, part_c=170.0, **PTC).result("ptc_resistance").value == 13_000


def test_other_kinds_have_no_tolerance_here() -> None:
    answer = _look("ni120", 134.52, part_c=25.0)
    assert answer.result("sensor_error").value == pytest.approx(5.0, abs=0.01)
    assert answer.result("sensor_error").verdict == "noted"
    assert said("sensors", answer)["far_from_part"].startswith(
        "A sensor reads 9 °F away from the part at 77 °F"
    )


def test_leads_entered_are_no_question_any_more() -> None:
    entries: dict[str, Value] = {"kind": "pt100", "part_c": 20.0, "tolerance_class": "class_b"}
    answer = check_test("sensors", {**entries, "readings": ((109.0, 0.2),)}, Machine())
    assert answer.result("sensor_error").verdict == "fail"
    assert answer.notes == ()


def test_what_the_notes_say() -> None:
    answer = _look("pt100", 108.0, 1e6)
    assert said("sensors", answer)["outside_curve"].startswith(
        "Sensor 2 reads 1,000,000 Ω, outside its whole curve"
    )
    near = _look("ptc", 300, part_c=150.0, **PTC)
    assert severities(near) == {"near_threshold": "note"}
    assert "threshold 302 °F" in said("sensors", near)["near_threshold"]
