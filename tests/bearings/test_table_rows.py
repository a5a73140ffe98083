"""Tables that act on import, row by row: against a library's printed table where there is one, and a second typing."""

from __future__ import annotations

import csv
from decimal import Decimal
from itertools import pairwise
from math import sqrt
from pathlib import Path

import chemicals.viscosity
import pytest

from bearings.engineering.boundary import boundary_dimensions, series_and_bore_code
from bearings.engineering.fits import Limits
from bearings.engineering.grease import grease_life_at_70c_h
from bearings.engineering.quantities import Bearing
from bearings.engineering.seat_zones import proposed_zone
from bearings.engineering.tables.boundary_dimensions import BORE_CODED_SERIES, DIMENSION_SERIES
from bearings.engineering.tables.diameter_series import DIAMETER_SERIES_2_MM
from bearings.engineering.tables.viscosity import INDEX_ROWS
from tests.reference import table_rows

BOUNDARY = Path(__file__).parents[1] / "reference" / "boundary_dimensions.csv"


def test_the_rows_of_the_viscosity_index_are_those_typed_a_second_time():
    typed = [tuple(map(float, line.split())) for line in table_rows.VISCOSITY_INDEX_ROWS.strip().splitlines()]
    assert list(INDEX_ROWS) == typed


def test_the_rows_of_the_viscosity_index_give_the_table_that_a_chemistry_library_prints():
    # ASTM D2270 table 1 as the library "chemicals" carries it; the rows are said to follow it within 0.1 %.
    table = chemicals.viscosity
    points = list(zip(table.VI_nus, table.VI_Ls, table.VI_Hs, strict=True))
    assert len(points) > 300
    for at_100, low, high in points:
        _from, a, b, c, d, e, f = [row for row in INDEX_ROWS if row[0] <= at_100][-1]
        assert a * at_100**2 + b * at_100 + c == pytest.approx(low, rel=1e-3)
        assert d * at_100**2 + e * at_100 + f == pytest.approx(high, rel=1e-3)


def test_diameter_series_2_is_that_of_the_part_libraries_and_of_a_second_typing():
    figures = [float(one) for one in table_rows.DIAMETER_SERIES_2.split()]
    assert dict(zip(figures[::2], figures[1::2], strict=True)) == DIAMETER_SERIES_2_MM
    assert all(low < high for low, high in pairwise(DIAMETER_SERIES_2_MM.values()))
    compared = 0
    with BOUNDARY.open(newline="") as file:
        for row in csv.DictReader(file):
            if (series_and_bore_code(row["designation"]) or ("", ""))[0] in {"62", "72", "NU2"} and row[
                "D_mm"
            ]:
                assert DIAMETER_SERIES_2_MM[float(row["d_mm"])] == float(row["D_mm"]), row
                compared += 1
    assert compared >= 30


@pytest.mark.parametrize("series", table_rows.BORE_ALONE.split())
def test_a_series_without_rows_gives_its_bore(series):
    assert boundary_dimensions(f"{series}20").bore_mm == 100.0
    assert boundary_dimensions(f"{series}20").outside_diameter_mm is None


def test_series_belong_to_the_dimension_series_of_a_second_typing():
    typed = {one: key for key, names in table_rows.BY_DIMENSION_SERIES.items() for one in names.split()}
    assert typed == DIMENSION_SERIES
    assert set(table_rows.BORE_ALONE.split()) == BORE_CODED_SERIES


@pytest.mark.parametrize(("kind", "factor"), table_rows.GREASE_FACTORS.items())
def test_grease_lasts_by_the_factor_of_the_type(kind, factor):
    # By hand: 14e6 / (1 000 sqrt(90)) - 4 x 90 = 1 115.73, times the factor.
    found = grease_life_at_70c_h(Bearing(type=kind, bore_mm=90.0), 1_000.0)
    assert found == pytest.approx(factor * (14_000 / sqrt(90) - 360))
    assert found == pytest.approx(factor * 1_115.73, abs=0.1)


@pytest.mark.parametrize(
    ("kind", "last_sizes"),
    [
        ("angular_contact_ball", {18: "j5", 1_000: "k5"}),
        ("deep_groove_ball", {18: "j5", 1_000: "k5"}),
        ("cylindrical_roller", {40: "k5", 100: "m5", 140: "m6", 320: "n6", 1_000: "p6"}),
        ("spherical_roller_thrust", {200: "k6", 400: "m6", 1_000: "n6"}),
    ],
)
def test_each_shaft_zone_holds_up_to_its_last_bore(kind, last_sizes):
    # ANSI/ABMA 7, shaft turning under normal load (from memory, unverified), typed a second time.
    ends = list(last_sizes)
    for at, (end, zone) in enumerate(last_sizes.items()):
        first = ends[at - 1] + 0.001 if at else 3.0
        assert proposed_zone(kind, "bore", first) == proposed_zone(kind, "bore", end) == zone


def test_a_zone_has_a_smallest_and_a_largest_size():
    assert Limits(lower_um=Decimal(3), upper_um=Decimal(18)).sizes_mm(Decimal(100)) == (
        Decimal("100.003"),
        Decimal("100.018"),
    )
