"""Single cells and lines of a rating file."""

from __future__ import annotations

from fractions import Fraction

import pytest

from bearings.book_file.cells import escaped, is_formula, unescaped, written
from bearings.book_file.reader import file_lines
from bearings.book_file.survey import survey_file
from tests.bearings.book_file.writing import file_of, line, raw


def lines_of(file):
    return list(file_lines(file, survey_file(file)))


# 25.4 mm, 0.45359237 kg x 9.80665 m/s2: exact by definition of inch, pound and standard gravity (NIST SP 811)
POUND_N = Fraction("0.45359237") * Fraction("9.80665")


@pytest.mark.parametrize(
    ("column", "unit", "typed", "field", "expected"),
    [
        ("bore", "in", "3.937", "bore_mm", 99.9998),
        ("bore", "in", "0.1", "bore_mm", 2.54),
        ("dynamic_rating", "lbf", "48559", "dynamic_rating_n", float(48559 * POUND_N)),
        ("dynamic_rating", "lbf", "1", "dynamic_rating_n", 4.4482216152605),
        ("dynamic_rating", "kN", "216.3", "dynamic_rating_n", 216300.0),
        ("dynamic_rating", "kgf", "100", "dynamic_rating_n", 980.665),
        ("contact_angle", "°", "40", "contact_angle_deg", 40.0),
        ("limiting_speed", "r/min", "2.7e3", "limiting_speed_rpm", 2700.0),
        ("reference_surface", "in2", "1", "reference_surface_mm2", 645.16),
        ("temperature_limit", "degC", "120", "temperature_limit_c", 120.0),
        # The fixed points of both scales: water boils at 212 degF, freezes at 32.
        ("temperature_limit", "°F", "212", "temperature_limit_c", 100.0),
        ("stabilised_to", "degF", "32", "stabilised_to_c", 0.0),
    ],
)
def test_units_are_converted_exactly(column, unit, typed, field, expected):
    (found,) = lines_of(file_of(line(**{column: typed}), units={column: unit}))
    assert found.wrong == []
    assert found.figures[field] == expected


def test_a_number_beyond_its_range_is_refused_in_the_unit_of_the_file():
    (found,) = lines_of(file_of(line(bore="200"), units={"bore": "in"}))
    (one,) = found.wrong
    assert "Accepted: a number from 0.00004 to 190 in." in one.message


@pytest.mark.parametrize(
    ("unit", "typed", "accepted"), [("degC", "501", "0 to 500 °C"), ("°F", "31", "32 to 932 °F")]
)
def test_a_temperature_beyond_its_range_is_refused_in_the_scale_of_the_file(unit, typed, accepted):
    (found,) = lines_of(file_of(line(temperature_limit=typed), units={"temperature_limit": unit}))
    (one,) = found.wrong
    assert (one.column, one.value) == ("temperature_limit", typed)
    assert f"Number is out of range. Accepted: a number from {accepted}." in one.message


def test_a_dash_is_not_printed_and_an_empty_cell_is_not_entered():
    (found,) = lines_of(file_of(line(static_rating="-", limiting_speed="–", height="", cage="-")))
    assert found.not_printed == ["static_rating_n", "limiting_speed_rpm"]
    assert "height_mm" not in found.figures
    assert found.texts["cage"] == ""


@pytest.mark.parametrize("cell", ["=1+1", "+A1", "-A1", "@SUM(A1)", " =1", "\t=1", '=HYPERLINK("x")', "--1"])
def test_cells_that_a_spreadsheet_would_calculate_are_refused(cell):
    (found,) = lines_of(file_of(line(variant=cell)))
    (one,) = found.wrong
    assert one.column == "variant"
    assert "a spreadsheet would calculate it" in one.message


@pytest.mark.parametrize("cell", ["-1.5", "+3", "-2,5", "-1e3", "-", "–", "", "a=b", "'=1"])
def test_plain_numbers_and_dashes_are_no_formulas(cell):
    assert not is_formula(cell)


def test_a_negative_figure_is_a_number_out_of_range_not_a_formula():
    (found,) = lines_of(file_of(line(bore="-100")))
    assert "Number is out of range." in found.wrong[0].message


@pytest.mark.parametrize(
    "text", ["=1", "-", "–", "#1", "'=1", "''=1", "@x", "-5", "'73", "plain", "a-b", "", " x"]
)
def test_an_escaped_text_comes_back_equal_and_is_no_formula(text):
    cell = escaped(text)
    assert not is_formula(cell) or cell == "-"
    assert unescaped(cell) == text


@pytest.mark.parametrize("value", [0.1, 2700.0, 1e-9, 1e9, 34.925, 99.9998, 216001.1934146573695, 1 / 3])
def test_a_figure_is_written_with_every_digit_it_needs(value):
    assert float(written(value)) == value


def test_ragged_lines_are_refused_and_empty_cells_beyond_the_header_are_not():
    text = (
        "designation,type,bore\n,,mm\n7320,angular_contact_ball\n7320,angular_contact_ball,100,7\nA,x,1,,\n"
    )
    short, long, padded = lines_of(raw(text))
    assert "Line has 2 cells; the header has 3 columns." in short.wrong[0].message
    assert "Line has 4 cells" in long.wrong[0].message
    assert padded.wrong == []


def test_a_line_with_another_separator_than_the_header_is_told_so():
    (found,) = lines_of(raw("designation,type,bore\n,,mm\n7320;angular_contact_ball;100\n"))
    assert "looks like a semicolon; in the header it is a comma" in found.wrong[0].message


def test_lines_are_numbered_as_a_spreadsheet_shows_them():
    text = 'designation,type,note\n,,\n\n# a comment\nA,x,"two\nlines"\nB,x,\n'
    assert [one.number for one in lines_of(raw(text))] == [5, 6]


def test_a_cell_too_long_is_refused_and_repeated_only_in_part():
    (found,) = lines_of(file_of(line(note="x" * 1001)))
    (one,) = found.wrong
    assert "Cell has 1,001 characters. Accepted: at most 1,000." in one.message
    assert len(one.value) < 100
