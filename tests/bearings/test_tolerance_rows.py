"""Every row of the limit and tolerance tables against a transcription of its own, kept as CSV in ``tests/reference``.

ISO 286-2 (zones), ISO 286-1 (grades), ISO 492 (radial bearings), ISO 199 (thrust washers), restated from public tables.
p6 and r6 above 250 mm, the P6 bore above 400 mm and the Normal run-out above 250 mm are from memory, unverified.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest

from bearings.engineering.fits import (
    FitError,
    bearing_limits,
    grade_um,
    known_zones,
    ring_limits,
    washer_limits,
    zone_limits,
)
from bearings.engineering.tables.limits import BEARINGS, GRADES

REFERENCE = Path(__file__).parents[1] / "reference"
HAIR = Decimal("0.001")


def rows_of(name: str) -> list[dict[str, Any]]:
    with (REFERENCE / name).open(newline="") as file:
        return [
            {
                key: value if key in {"zone", "grade", "class", "surface"} else Decimal(value)
                for key, value in row.items()
            }
            for row in csv.DictReader(file)
        ]


ZONES = rows_of("limit_deviations.csv")
WIDTHS = rows_of("tolerance_grades.csv")
RADIAL = rows_of("radial_tolerances.csv")
WASHERS = rows_of("thrust_washer_tolerances.csv")


def sizes(row: dict[str, Any]) -> tuple[Decimal, Decimal]:
    """A hair above the end that a step excludes, and the end that it includes."""
    return row["over_mm"] + HAIR, row["upto_mm"]


@pytest.mark.parametrize("zone", known_zones())
def test_every_step_of_a_zone(zone):
    rows = [row for row in ZONES if row["zone"] == zone]
    assert len(rows) == (20 if zone == "r6" else 11)
    for row in rows:
        for size in sizes(row):
            found = zone_limits(zone, size)
            assert (found.upper_um, found.lower_um) == (row["upper_um"], row["lower_um"]), size


@pytest.mark.parametrize("grade", list(GRADES))
def test_every_step_of_a_grade(grade):
    rows = [row for row in WIDTHS if row["grade"] == grade]
    assert len(rows) == 11
    for row in rows:
        assert [grade_um(grade, size) for size in sizes(row)] == [row["it_um"]] * 2


@pytest.mark.parametrize(("tolerance_class", "surface"), list(BEARINGS))
def test_every_step_of_a_radial_bearing(tolerance_class, surface):
    rows = [row for row in RADIAL if (row["class"], row["surface"]) == (tolerance_class, surface)]
    assert len(rows) == (11 if surface == "bore" else 12)
    printed = [cell.split("/") for cell in BEARINGS[tolerance_class, surface].split()]
    for row, (_upto, _lower, run_out) in zip(rows, printed, strict=True):
        assert Decimal(run_out) == row["radial_runout_um"]
        for size in sizes(row):
            found = bearing_limits(surface, size, tolerance_class=tolerance_class)
            assert (found.upper_um, found.lower_um) == (row["upper_um"], row["lower_um"]), size


@pytest.mark.parametrize("surface", ["bore", "od"])
@pytest.mark.parametrize("tolerance_class", ["Normal", "P6", "P5"])
def test_every_step_of_a_thrust_washer_whatever_its_class(tolerance_class, surface):
    rows = [row for row in WASHERS if row["surface"] == surface]
    assert len(rows) == (10 if surface == "bore" else 12)
    for row in rows:
        for size in sizes(row):
            found = ring_limits("spherical_roller_thrust", surface, size, tolerance_class=tolerance_class)
            assert found == washer_limits(surface, size)
            assert (found.upper_um, found.lower_um) == (row["upper_um"], row["lower_um"]), size


def test_no_row_is_there_that_the_tables_do_not_hold():
    assert {row["zone"] for row in ZONES} == set(known_zones())
    assert {row["grade"] for row in WIDTHS} == set(GRADES)
    assert {(row["class"], row["surface"]) for row in RADIAL} == set(BEARINGS)


@pytest.mark.parametrize(
    ("ask", "first", "last"),
    [
        (lambda size: zone_limits("k5", size), "6", "500"),
        (lambda size: zone_limits("r6", size), "6", "500"),
        (lambda size: grade_um("IT6", size), "6", "500"),
        (lambda size: bearing_limits("bore", size), "2.5", "500"),
        (lambda size: bearing_limits("od", size), "6", "630"),
        (lambda size: washer_limits("bore", size), "10", "500"),
        (lambda size: washer_limits("od", size), "10", "800"),
    ],
)
def test_no_size_beyond_a_table_is_given_a_limit(ask, first, last):
    for size in (Decimal(first), Decimal(last) + HAIR):
        with pytest.raises(FitError, match=f"above {first} up to {last} mm"):
            ask(size)


@pytest.mark.parametrize(
    ("ask", "field"),
    [
        (lambda: zone_limits("k9", Decimal(100)), "zone: 'k9' is not tabulated; accepted: g6, h5"),
        (lambda: grade_um("IT9", Decimal(100)), "grade: 'IT9' is not tabulated; accepted: IT2, IT3"),
        (lambda: bearing_limits("od", Decimal(100), tolerance_class="P4"), "accepted: Normal, P5, P6"),
    ],
)
def test_what_is_not_tabulated_is_refused_with_what_is(ask, field):
    with pytest.raises(FitError, match=field):
        ask()


def test_a_zone_is_as_wide_as_its_grade():
    # ISO 286-1: a zone is its fundamental deviation and a grade.
    for row in ZONES:
        assert row["upper_um"] - row["lower_um"] == grade_um(f"IT{row['zone'][-1]}", row["upto_mm"]), row


def test_a_better_class_is_nowhere_wider():
    # ISO 492: Normal, P6 and P5 in this order, deviation and run-out.
    for _place, rows in groupby(
        sorted(RADIAL, key=lambda row: (row["surface"], row["over_mm"])),
        key=lambda row: (row["surface"], row["over_mm"]),
    ):
        by_class = {row["class"]: row for row in rows}
        for better, worse in (("P6", "Normal"), ("P5", "P6")):
            assert by_class[better]["lower_um"] >= by_class[worse]["lower_um"]
            assert by_class[better]["radial_runout_um"] <= by_class[worse]["radial_runout_um"]
