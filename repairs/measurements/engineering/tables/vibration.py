"""Vibration of a motor's housing: limits by standard, and the way from displacement to velocity.

NEMA MG 1 part 7 and IEC 60034-14 seen in secondary copies; ISO 20816-3 from memory, and tables found elsewhere differ.
"""

from __future__ import annotations

from math import inf, pi, sqrt
from typing import Final, Literal

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

Mounting = Literal["free", "rigid", "flexible"]
# Exact for one sine: an inch is 25.4 mm, the root mean square of a sine its peak over the root of 2.
INCH_PEAK: Final = 25.4 / sqrt(2)
SINE: Final = Source("v peak = pi f D p-p of one sine; v rms = v peak / sqrt(2)")

NEMA: Final = Source("NEMA MG 1", "part 7", "no load, uncoupled, resilient mounting", "secondary")
NEMA_RIGID: Final = Source(
    "NEMA MG 1", "part 7", "no load, uncoupled, rigid mounting: 0.8 of resilient", "secondary"
)
# Synchronous speed in rpm and limit in in/s peak.
NEMA_ROWS: Final = ((1200.0, 0.15), (900.0, 0.12), (720.0, 0.09), (600.0, 0.08))
# A motor without load runs this near to its synchronous speed.
NEAR_ROW: Final = 0.95
NEMA_DISPLACEMENT_IN: Final = 0.0025
RIGID_SHARE: Final = 0.8

IEC: Final = Source("IEC 60034-14", "", "table of limits, uncoupled, no load", "secondary")
# Over and up to which shaft height in mm; mm/s rms freely suspended and rigidly mounted, None where there is none.
IEC_GRADES: Final = {
    "iec_a": ((56.0, 132.0, 1.6, 1.3), (132.0, 280.0, 2.2, 1.8), (280.0, inf, 2.8, 2.3)),
    "iec_b": ((56.0, 132.0, 0.7, None), (132.0, 280.0, 1.1, 0.9), (280.0, inf, 1.8, 1.5)),
}

ISO: Final = Source("ISO 20816-3", "2022", "zone boundary B/C, housing, running in place", "memory")
# Over which power in W; boundaries A/B, B/C, C/D in mm/s rms on a rigid and on a flexible foundation.
ISO_GROUPS: Final = (
    (300_000.0, (2.3, 4.5, 7.1), (3.5, 7.1, 11.0)),
    (15_000.0, (1.4, 2.8, 4.5), (2.3, 4.5, 7.1)),
)
# Both standards are written for these speeds; from memory, unverified.
SPEEDS_RPM: Final = (120.0, 15_000.0)
SPEEDS_SOURCE: Final = Source("IEC 60034-14 and ISO 20816-3", "", "scope", "memory")
# Below this speed an instrument that begins at 10 Hz does not see the running speed.
BAND_FROM_HZ: Final = 10.0
BAND_SOURCE: Final = Source("ISO 20816-3", "", "instrument band 10 to 1000 Hz", "memory")

REED_SHARE: Final = 0.15
TOP_OVER_BOTTOM: Final = 3.0
PRACTICE: Final = COMMON_PRACTICE


def velocity(displacement_um: float, frequency_hz: float) -> float:
    """Return the velocity of a sine of a displacement peak to peak. [mm/s rms]"""
    return pi * frequency_hz * displacement_um / 1000 / sqrt(2)


def nema(speed_rpm: float, *, rigid: bool) -> Limit:
    """Return NEMA's limit: the row of a synchronous speed just above, between rows and below by 0.0025 in p-p."""
    if speed_rpm >= NEMA_ROWS[0][0] * NEAR_ROW:
        inches = NEMA_ROWS[0][1]
    else:
        row = next((limit for row, limit in NEMA_ROWS if row * NEAR_ROW <= speed_rpm <= row), None)
        inches = row if row is not None else pi * speed_rpm / 60 * NEMA_DISPLACEMENT_IN
    share, source = (RIGID_SHARE, NEMA_RIGID) if rigid else (1.0, NEMA)
    return Limit(None, inches * share * INCH_PEAK, source)


def iec(grade: str, height_mm: float, mounting: str) -> Limit | None:
    """Return the limit of a grade for a shaft height; None where the table has no value."""
    for over, up_to, free, rigid in IEC_GRADES[grade]:
        if over < height_mm <= up_to or height_mm == over == IEC_GRADES[grade][0][0]:
            value = {"free": free, "rigid": rigid}.get(mounting)
            return None if value is None else Limit(None, value, IEC)
    return None


def iso_zones(power_w: float, mounting: str) -> tuple[float, float, float] | None:
    """Return the zone boundaries of a motor in place; None below 15 kW and for a foundation that is not known."""
    for over, rigid, flexible in ISO_GROUPS:
        if power_w > over:
            return {"rigid": rigid, "flexible": flexible}.get(mounting)
    return None
