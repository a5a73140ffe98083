"""Boundary dimensions by designation, against open part libraries."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from bearings.engineering.boundary import boundary_dimensions, series_and_bore_code
from bearings.engineering.tables.boundary_dimensions import BORE_RULE, DERIVED, READ_ROWS

# Rows of the libraries that the table is made from, rows that begin with "derived" by the rule of ISO 15, and rows of
# ISO 15 entered apart from both, so that one checks the other.
REFERENCE = Path(__file__).parents[1] / "reference" / "boundary_dimensions.csv"
with REFERENCE.open(newline="") as _file:
    ROWS = list(csv.DictReader(_file))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['designation']}, {row['source'][:8]}")
def test_a_designation_has_the_dimensions_that_the_libraries_list(row):
    found = boundary_dimensions(row["designation"])
    assert found.bore_mm == float(row["d_mm"])
    if found.outside_diameter_mm is None:
        # What stands in no library is not shipped; what stands in one is not left out.
        assert row["source"].startswith("ISO 15")
    else:
        assert found.outside_diameter_mm == float(row["D_mm"])
        assert found.height_mm == float(row["B_mm"])


def test_the_reference_covers_what_is_shipped_by_rows_of_its_own():
    whole = [row for row in ROWS if boundary_dimensions(row["designation"]).height_mm is not None]
    assert len(whole) >= 80
    apart = {row["designation"] for row in whole if row["source"].startswith("ISO 15")}
    assert len(apart) >= 80
    shipped = {f"{row.series}{row.bore_code}" for row in READ_ROWS}
    assert len(shipped - apart) <= 2


def test_libraries_that_share_a_dimension_series_agree():
    for row in READ_ROWS:
        found = boundary_dimensions(f"{row.series}{row.bore_code}")
        assert found[:3] == (row.bore_mm, row.outside_diameter_mm, row.width_mm)


@pytest.mark.parametrize(
    ("written", "basic"),
    [
        ("7204 X", ("72", "04")),
        ("7204-X-YZ", ("72", "04")),
        ("6205-XX C3", ("62", "05")),
        ("6205.C3", ("62", "05")),
        ("nu 310 X", ("NU3", "10")),
        ("NUP210", ("NUP2", "10")),
        ("NU1007", ("NU10", "07")),
        ("29428 X", ("294", "28")),
        ("62/28", None),
        ("62052X", None),
        ("608", None),
        ("30205", None),
        ("Q 7204", None),
        ("", None),
    ],
)
def test_suffixes_are_left_aside_and_what_is_not_known_is_not_guessed(written, basic):
    assert series_and_bore_code(written) == basic


def test_each_answer_says_where_it_comes_from():
    assert boundary_dimensions("6205").origin.endswith("(BSD-2-Clause)")
    assert boundary_dimensions("7202").origin.endswith("(Apache-2.0)")
    assert boundary_dimensions("7212").origin.startswith(f"{DERIVED}: 6212")
    # Larger ones stand in no table that may be shipped; their bore follows from the code (ISO 15).
    assert boundary_dimensions("7320 X") == (100.0, None, None, BORE_RULE)
    assert boundary_dimensions("29428") == (140.0, None, None, BORE_RULE)


@pytest.mark.parametrize(
    ("name", "bore"),
    [("71900", 10.0), ("71901", 12.0), ("71902", 15.0), ("71903", 17.0), ("71904", 20.0), ("71996", 480.0)],
)
def test_the_bore_code_gives_the_bore_where_no_library_lists_the_rest(name, bore):
    # ISO 15: 00 to 03 are 10, 12, 15 and 17 mm, from 04 to 96 five times the code.
    found = boundary_dimensions(name)
    assert (found.bore_mm, found.outside_diameter_mm, found.origin) == (bore, None, BORE_RULE)


def test_a_code_above_96_is_no_bore():
    assert boundary_dimensions("71997") is None
