"""Boundary dimensions by designation: what ISO 15 says of a bearing's envelope, as far as an open table holds it."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from bearings.engineering.tables import boundary_dimensions as table

# A designation begins with its series and ends its basic part with two figures of the bore code; whatever makers hang
# on behind (cage, seals, clearance) begins with something that is not a figure.
_BASIC: Final = re.compile(
    r"\s*(NUP|NJ|NU|NF|N)?[ -]?([0-9]{1,3})([0-9]{2})(?![0-9])", re.ASCII | re.IGNORECASE
)


class Boundary(NamedTuple):
    """Dimensions in mm with the origin of each statement; what is not known is None."""

    bore_mm: float
    outside_diameter_mm: float | None
    height_mm: float | None
    origin: str


def series_and_bore_code(designation: str) -> tuple[str, str] | None:
    """Return the bearing series and bore code of a designation; None where they are not of a series known here.

    Source: ISO 15, how trade usage writes it (from memory, unverified).

    >>> series_and_bore_code("NU 220 E"), series_and_bore_code("7320B"), series_and_bore_code("XY 12")
    (('NU2', '20'), ('73', '20'), None)
    """
    found = _BASIC.match(designation)
    if found is None:
        return None
    series = f"{found[1] or ''}{found[2]}".upper()
    known = series in table.DIMENSION_SERIES or series in table.BORE_CODED_SERIES
    return (series, found[3]) if known else None


def bore_of_code(code: str) -> float | None:
    """Return the bore in mm that a bore code of two figures stands for; None beyond the codes.

    00 is 10, 01 is 12, 02 is 15, 03 is 17 mm, from 04 on five times the code. Source: bore code of ISO 15.

    >>> bore_of_code("00"), bore_of_code("20")
    (10.0, 100.0)
    """
    if code in table.SMALL_BORES_MM:
        return table.SMALL_BORES_MM[code]
    number = int(code)
    return number * table.BORE_CODE_STEP_MM if number <= table.HIGHEST_BORE_CODE else None


def boundary_dimensions(designation: str) -> Boundary | None:
    """Return bore, outside diameter and height in mm with their origin; only the bore where no open table has more.

    Source: ISO 15, as open libraries hold it; ``origin`` names which.

    >>> boundary_dimensions("6205")[:3], boundary_dimensions("XY 12")
    ((25, 52, 15), None)
    """
    basic = series_and_bore_code(designation)
    if basic is None:
        return None
    series, code = basic
    rows = _ROWS.get((table.DIMENSION_SERIES.get(series, ""), code), ())
    if rows:
        # The series itself, where a library lists it; else the first that has the same dimensions by rule.
        own = next((row for row in rows if row.series == series), None)
        row = own or rows[0]
        origin = own.origin if own else f"{table.DERIVED}: {row.series}{code}, {row.origin}"
        return Boundary(row.bore_mm, row.outside_diameter_mm, row.width_mm, origin)
    bore = bore_of_code(code)
    return None if bore is None else Boundary(bore, None, None, table.BORE_RULE)


def _by_dimension_series() -> dict[tuple[str, str], tuple[table.BoundaryRow, ...]]:
    rows: dict[tuple[str, str], tuple[table.BoundaryRow, ...]] = {}
    for row in table.READ_ROWS:
        key = table.DIMENSION_SERIES[row.series], row.bore_code
        rows[key] = (*rows.get(key, ()), row)
    return rows


_ROWS: Final = _by_dimension_series()
