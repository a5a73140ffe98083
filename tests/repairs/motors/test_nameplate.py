"""Reading plate fields: units, ranges, states."""

from __future__ import annotations

import pytest

from repairs.motors.nameplate import read_entry, shown
from repairs.motors.plate_fields import BY_KEY, FIELDS, GROUPS
from repairs.motors.units import QUANTITIES, unit_of, unit_words


def read(key, typed, unit="", state="read", units="us"):
    return read_entry(BY_KEY[key], state, typed, unit, units)


def spaced(text):
    """Return a text with plain spaces, as it looks."""
    return text.replace("\u00a0", " ")


def test_every_key_stands_once_in_a_known_group_and_numbers_have_a_range():
    assert len(BY_KEY) == len(FIELDS)
    assert {field.group for field in FIELDS} == {name for name, _label in GROUPS}
    assert [f.key for f in FIELDS if f.kind == "number" and not f.low < f.high] == []
    assert [f.key for f in FIELDS if f.kind == "choice" and len(f.choices) < 2] == []
    assert {f.quantity for f in FIELDS} <= set(QUANTITIES)


@pytest.mark.parametrize(
    ("key", "typed", "unit", "si"),
    [
        # NIST SP 811, appendix B (from memory, unverified): hp (550 ft lbf/s) 745.6999 W, lbf 4.448222 N, in 25.4 mm,
        # US gal 3.785412 l, lb ft² 0.04214011 kg m², ft 0.3048 m, metric horsepower 735.4988 W, kgf 9.80665 N.
        ("power_w", "300", "hp", 300 * 745.6999),
        ("power_w", "100", "PS", 73549.88),
        ("down_thrust_n", "10000", "lbf", 44482.22),
        ("down_thrust_n", "1000", "kgf", 9806.65),
        ("end_play_mm", "0.008", "in", 0.2032),
        ("oil_capacity_l", "5", "US gal", 18.92706),
        ("oil_capacity_l", "4", "US qt", 3.785412),
        ("inertia_kg_m2", "100", "lb ft²", 4.214011),
        ("altitude_m", "3300", "ft", 1005.84),
        ("ambient_c", "104", "°F", 40.0),
        ("mass_kg", "2000", "lb", 907.18474),
    ],
)
def test_what_was_typed_is_kept_with_its_unit_and_converted_to_si(key, typed, unit, si):
    entry, problem = read(key, typed, unit)
    assert problem == ""
    assert (entry["typed"], entry["unit"]) == (typed, unit)
    assert entry["si"] == pytest.approx(si, rel=1e-6)


@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_every_unit_converts_there_and_back(quantity):
    for unit in QUANTITIES[quantity]:
        assert unit.from_si(unit.to_si(123.4)) == pytest.approx(123.4, rel=1e-12)
        assert unit_of(quantity, unit.name) is unit


@pytest.mark.parametrize("typed", ["1780", "1,780", "1 780", "1\u202f780", " 1780 "])
def test_thousands_may_be_apart(typed):
    assert read("rated_speed_rpm", typed)[0]["si"] == 1780


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        *[
            (typed, "is not a number")
            for typed in ("nan", "inf", "1_780", "--1", ".", "17-80", "9" * 41, "一")
        ],
        ("0,5", "Enter 0.5."),
        ("1,78", "Enter 1.78."),
        ("1e", "Unknown unit “e”"),
        ("1780 Hz", "Unknown unit “Hz”"),
        ("9" * 30, "out of range"),
    ],
)
def test_what_could_be_misread_is_refused_with_the_range(typed, words):
    entry, problem = read("rated_speed_rpm", typed)
    assert entry is None
    assert words in problem
    assert "10 to 20,000\u00a0rpm" in problem


@pytest.mark.parametrize(
    ("key", "typed", "unit", "si", "shown_as"),
    [
        ("coupling_bore_mm", "1 15/16", "in", 49.2125, "1 15/16 in (1.9375 in)"),
        ("bolt_circle_mm", "34-1/8", "in", 866.775, "34-1/8 in (34.125 in)"),
        ("bolt_circle_mm", '14 3/4"', "in", 374.65, "14 3/4 in (14.75 in)"),
        ("end_play_mm", ".0005", "in", 0.0127, "0.0005 in"),
        ("power_factor", "87.5", "%", 0.875, "87.5%"),
        ("power_factor", "87.5 %", "%", 0.875, "87.5%"),
        ("power_factor", "0.87", "", 0.87, "0.87"),
        ("efficiency_percent", "93.6%", "%", 93.6, "93.6%"),
        ("oil_capacity_l", "9 qt", "US qt", 8.51717656, "9 qt"),
        ("altitude_m", "3300 ft", "ft", 1005.84, "3,300 ft"),
        ("oil_iso_vg", "VG 32", "", 32.0, "32"),
        ("oil_iso_vg", "ISO VG 68", "", 68.0, "68"),
        ("ambient_c", "40C", "°C", 40.0, "40 °C (104 °F)"),
        ("ambient_c", "104 °F", "°F", 40.0, "104 °F"),
        ("voltage_v", "230/460", "V", 460.0, "230/460 V (460 V counts)"),
        ("voltage_v", "208-230/460 VAC", "V", 460.0, "208/230/460 V (460 V counts)"),
        ("current_a", "62-56/28", "A", 28.0, "62/56/28 A (28 A counts)"),
        ("rated_speed_rpm", "1,785 RPM", "rpm", 1785.0, "1,785 rpm"),
        ("power_w", "250 HP", "hp", 250 * 745.6998715822702, "250 hp"),
        ("down_thrust_n", "12,500 lb", "lbf", 12_500 * 4.4482216152605, "12,500 lbf"),
    ],
)
def test_a_plate_is_typed_as_it_is_printed(key, typed, unit, si, shown_as):
    entry, problem = read(key, typed)
    assert problem == ""
    assert (entry["unit"], entry["si"]) == (unit, pytest.approx(si))
    assert spaced(shown(BY_KEY[key], entry, "us")) == shown_as


def test_a_number_out_of_range_is_refused_in_the_unit_that_was_chosen():
    entry, problem = read("end_play_mm", "2", "in", units="si")
    assert entry is None
    assert spaced(problem) == "2 in is out of range. Accepted: 0 to 0.78 in."


def test_the_limit_that_is_printed_is_accepted():
    for field in FIELDS:
        if field.kind != "number":
            continue
        for unit in QUANTITIES[field.quantity]:
            words = field.accepted("us", unit.name).removeprefix("whole numbers, ")
            low, high = words.removesuffix(unit_words(unit.name, "us")).strip().split(" to ")
            for limit in (low, high):
                _entry, problem = read_entry(field, "read", limit.replace("−", "-"), unit.name, "us")
                assert problem == "", f"{field.key}: {limit} {unit.name}: {problem}"


@pytest.mark.parametrize(
    ("key", "unit", "words"),
    [
        ("power_w", "hp", "0.14 to 67,000 hp"),
        ("power_w", "kW", "0.1 to 50,000 kW"),
        ("efficiency_percent", "%", "10 to 99.9%"),
        ("reliability_percent", "%", "90 to 99.95%"),
        ("altitude_m", "ft", "0 to 19,000 ft"),
        ("ambient_c", "°F", "−40 to 194 °F"),
        ("duty_1_thrust_n", "lbf", "−2,200,000 to 2,200,000 lbf"),
        ("inertia_kg_m2", "lb ft²", "0.024 to 2,300,000 lb-ft²"),
        ("cooler_flow_l_min", "US gal/min", "0.027 to 1,300 gpm"),
    ],
)
def test_a_range_has_round_ends_that_are_accepted(key, unit, words):
    assert spaced(BY_KEY[key].accepted("us", unit)) == words


def test_a_figure_is_not_parted_from_its_unit_and_a_gallon_is_said_as_its_reader_knows_it():
    entry, _problem = read("oil_capacity_l", "9.5 qt")
    assert shown(BY_KEY["oil_capacity_l"], entry, "us") == "9.5\u00a0qt"
    assert shown(BY_KEY["oil_capacity_l"], entry, "si") == "9.5\u00a0US qt (8.99\u00a0l)"
    metric, _problem = read("oil_capacity_l", "9 l")
    assert shown(BY_KEY["oil_capacity_l"], metric, "us") == "9\u00a0l (2.378\u00a0gal)"


def test_half_a_pole_is_refused():
    assert "whole numbers, 2 to 48" in read("poles", "4.5")[1]


def test_illegible_and_missing_are_answers_and_an_empty_field_was_not_asked():
    assert read("power_w", "", state="illegible")[0] == {
        "state": "illegible",
        "typed": "",
        "unit": "",
        "si": None,
    }
    assert read("power_w", "", state="missing")[0]["state"] == "missing"
    assert read("power_w", "") == (None, "")


def test_an_unknown_choice_is_refused_with_the_choices_in_words():
    entry, problem = read("rotation", "left")
    assert entry is None
    assert "counterclockwise (CCW), clockwise (CW)" in problem


def test_too_long_a_text_is_refused_and_hostile_text_is_kept_as_text():
    assert "at most 200" in read("model", "x" * 201)[1]
    assert read("model", "<script>x</script>")[0]["si"] == "<script>x</script>"


@pytest.mark.parametrize(
    ("key", "typed", "unit", "state", "units", "words"),
    [
        ("power_w", "300", "hp", "read", "us", "300 hp"),
        ("power_w", "300", "hp", "read", "si", "300 hp (223.7 kW)"),
        ("down_thrust_n", "44.5", "kN", "inferred", "us", "44.5 kN (10,000 lbf), inferred"),
        ("rotation", "ccw", "", "read", "us", "counterclockwise (CCW)"),
        ("power_w", "", "", "illegible", "us", "illegible"),
    ],
)
def test_an_entry_reads_as_it_was_typed_with_the_readers_unit_behind(key, typed, unit, state, units, words):
    entry, _problem = read(key, typed, unit, state)
    assert spaced(shown(BY_KEY[key], entry, units)) == words


def test_the_name_that_earlier_entries_and_books_carry_for_rpm_reads_as_rpm():
    stored = {"state": "read", "typed": "1780", "unit": "r/min", "si": 1780.0}
    assert shown(BY_KEY["rated_speed_rpm"], stored, "us") == "1,780\u00a0rpm"
    entry, problem = read_entry(BY_KEY["rated_speed_rpm"], "read", "1780", "r/min", "us")
    assert not problem
    assert entry["unit"] == "rpm"
