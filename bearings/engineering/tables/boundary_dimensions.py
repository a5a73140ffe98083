"""Boundary dimensions of radial bearings in mm: bore d, outside diameter D, width B.

Every row was read from an open part library whose license is named with it (notices: NOTICES.txt); the figures are
those of ISO 15. Series of one dimension series (ISO 15) have the same three dimensions at the same bore code, so
one row answers for all of them.
"""

from __future__ import annotations

from typing import Final, NamedTuple

DERIVED: Final = "ISO 15 rule, derived"
BORE_RULE: Final = "bore code of ISO 15"
_BOSL2: Final = "BOSL2 df336a2 ball_bearings.scad (BSD-2-Clause)"
_BD_WAREHOUSE: Final = "bd-warehouse 0.4.0 (Apache-2.0)"
_BOTH: Final = f"{_BOSL2}; {_BD_WAREHOUSE}"


class BoundaryRow(NamedTuple):
    """One bearing as a library lists it."""

    series: str
    bore_code: str
    bore_mm: float
    outside_diameter_mm: float
    width_mm: float
    origin: str


READ_ROWS: Final = tuple(
    BoundaryRow(*row)
    for row in (
        ("60", "00", 10, 26, 8, _BOTH),
        ("60", "01", 12, 28, 8, _BOSL2),
        ("60", "02", 15, 32, 9, _BOSL2),
        ("60", "03", 17, 35, 10, _BOSL2),
        ("60", "07", 35, 62, 14, _BOSL2),
        ("62", "00", 10, 30, 9, _BOTH),
        ("62", "01", 12, 32, 10, _BOSL2),
        ("62", "02", 15, 35, 11, _BOSL2),
        ("62", "03", 17, 40, 12, _BOSL2),
        ("62", "04", 20, 47, 14, _BOSL2),
        ("62", "05", 25, 52, 15, _BOSL2),
        ("62", "06", 30, 62, 16, _BOSL2),
        ("62", "07", 35, 72, 17, _BOSL2),
        ("62", "08", 40, 80, 18, _BOSL2),
        ("62", "09", 45, 85, 19, _BOSL2),
        ("62", "10", 50, 90, 20, _BOSL2),
        ("62", "11", 55, 100, 21, _BOSL2),
        ("62", "12", 60, 110, 22, _BOSL2),
        ("63", "00", 10, 35, 11, _BD_WAREHOUSE),
        ("63", "01", 12, 37, 12, _BOSL2),
        ("63", "02", 15, 42, 13, _BOSL2),
        ("63", "03", 17, 47, 14, _BOSL2),
        ("63", "04", 20, 52, 15, _BOSL2),
        ("63", "05", 25, 62, 17, _BOSL2),
        ("63", "06", 30, 72, 19, _BOSL2),
        ("63", "07", 35, 80, 21, _BOSL2),
        ("63", "08", 40, 90, 23, _BOSL2),
        ("63", "09", 45, 100, 25, _BOSL2),
        ("63", "10", 50, 110, 27, _BOSL2),
        ("63", "11", 55, 120, 29, _BOSL2),
        ("63", "12", 60, 130, 31, _BOSL2),
        ("64", "03", 17, 62, 17, _BOSL2),
        ("72", "00", 10, 30, 9, _BD_WAREHOUSE),
        ("72", "01", 12, 32, 10, _BD_WAREHOUSE),
        ("72", "02", 15, 35, 11, _BD_WAREHOUSE),
        ("72", "03", 17, 40, 12, _BD_WAREHOUSE),
        ("73", "02", 15, 42, 13, _BD_WAREHOUSE),
        ("73", "03", 17, 47, 14, _BD_WAREHOUSE),
        ("73", "04", 20, 52, 15, _BD_WAREHOUSE),
        ("73", "05", 25, 62, 17, _BD_WAREHOUSE),
        ("NU2", "02", 15, 35, 11, _BD_WAREHOUSE),
        ("NU2", "03", 17, 40, 12, _BD_WAREHOUSE),
        ("NU2", "04", 20, 47, 14, _BD_WAREHOUSE),
        ("NU2", "05", 25, 52, 15, _BD_WAREHOUSE),
        ("NU3", "03", 17, 47, 14, _BD_WAREHOUSE),
        ("NU3", "04", 20, 52, 15, _BD_WAREHOUSE),
    )
)  # fmt: skip

# Bearing series -> dimension series (width series, diameter series) of ISO 15.
DIMENSION_SERIES: Final[dict[str, str]] = {
    **dict.fromkeys(("60", "70", "N10", "NU10", "NJ10", "NUP10"), "10"),
    **dict.fromkeys(("62", "72", "N2", "NU2", "NJ2", "NUP2", "NF2"), "02"),
    **dict.fromkeys(("63", "73", "N3", "NU3", "NJ3", "NUP3", "NF3"), "03"),
    **dict.fromkeys(("64", "74", "N4", "NU4", "NJ4", "NUP4", "NF4"), "04"),
}
# Series of which only the bore follows from the designation here.
BORE_CODED_SERIES: Final = frozenset(
    {"618", "619", "718", "719", "292", "293", "294"}
    | {f"{kind}{series}" for kind in ("N", "NU", "NJ", "NUP") for series in ("22", "23")}
)
# Bore codes that are no fifth of the bore in millimetres.
SMALL_BORES_MM: Final[dict[str, float]] = {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}
BORE_CODE_STEP_MM: Final = 5.0
HIGHEST_BORE_CODE: Final = 96
