"""Runout of the shaft extension, the rabbet and face of a P-base, the register of a coupling.

NEMA MG 1 4.9.7 and 4.13 (table 4-6) and the IEC row of ANSI/EASA AR100-2020 table 2-4, seen in secondary copies.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

INCH: Final = 25.4
NEMA: Final = Source("NEMA MG 1", "", "4.9.7: TIR at the end of the shaft extension", "secondary")
# Up to which diameter in inches, TIR in inches.
NEMA_ROWS: Final = ((1.625, 0.002), (6.5, 0.003))
IEC: Final = Source("ANSI/EASA AR100", "2020", "table 2-4, IEC: TIR at mid length", "secondary")
IEC_OVER_MM: Final = 6.0
IEC_ROWS: Final = (
    (10, 0.030), (18, 0.035), (30, 0.040), (50, 0.050), (80, 0.060), (120, 0.070), (180, 0.080),
    (250, 0.090), (315, 0.100), (400, 0.110), (500, 0.125), (630, 0.140),
)  # fmt: skip
P_BASE: Final = Source("NEMA MG 1", "", "4.13, table 4-6: P-base", "secondary")
COUPLING: Final = Limit(None, 0.002 * INCH, COMMON_PRACTICE)


class Rabbet(NamedTuple):
    """How much a rabbet may be over its size, and its eccentricity and face runout (TIR). [mm]"""

    over: float
    runout: float


# Up to which rabbet in inches, whether that size belongs to the row; tolerance and TIR in inches.
RABBETS: Final = (
    (12.0, False, 0.003, 0.004),
    (24.0, True, 0.005, 0.007),
    (40.0, True, 0.007, 0.009),
    (60.0, True, 0.010, 0.012),
)


def nema(diameter_mm: float) -> Limit | None:
    """Return the limit at the end of the extension; None above the last row."""
    rows = (tir for up_to, tir in NEMA_ROWS if _inches(diameter_mm) <= up_to)
    tir = next(rows, None)
    return None if tir is None else Limit(None, tir * INCH, NEMA)


def iec(diameter_mm: float) -> Limit | None:
    """Return the limit at mid length of the extension; None outside the table."""
    if diameter_mm < IEC_OVER_MM:
        return None
    tir = next((tir for up_to, tir in IEC_ROWS if diameter_mm <= up_to), None)
    return None if tir is None else Limit(None, tir, IEC)


def rabbet(nominal_mm: float) -> Rabbet | None:
    """Return the tolerances of a P-base's rabbet by its nominal size; None above 60 in."""
    size = _inches(nominal_mm)
    for up_to, included, over, runout in RABBETS:
        if size < up_to or (included and size == up_to):
            return Rabbet(over * INCH, runout * INCH)
    return None


def _inches(mm: float) -> float:
    """Return inches as somebody reads them, so that a size typed in inches meets its own row."""
    return round(mm / INCH, 6)
