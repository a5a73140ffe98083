"""Life modification: ISO 281:2007 clause 9 and Annex B."""

from __future__ import annotations

from typing import Final

SOURCE: Final = "ISO 281:2007 clause 9.3.3"

# (kappa below which the row holds, A of ball bearings, B of roller bearings, q): equations (31) to (42).
KAPPA_ROWS: Final = (
    (0.4, 2.2649, 1.3993, 0.054381),
    (1.0, 1.9987, 1.2348, 0.19087),
    (4.0, 1.9987, 1.2348, 0.071739),
)
KAPPA_MINIMUM: Final = 0.1
KAPPA_MAXIMUM: Final = 4.0
A_ISO_MAXIMUM: Final = 50.0
# eC Cu / P above which nothing more is gained: from memory, unverified.
RELATIVE_LIMIT_MAXIMUM: Final = 5.0
RELATIVE_LIMIT_SOURCE: Final = "its limit of eC Cu / P = 5 from memory, unverified"
# Division of eC Cu / P for thrust roller bearings: from memory, unverified.
THRUST_ROLLER_DIVISOR: Final = 2.5
THRUST_ROLLER_SOURCE: Final = "thrust roller bearings from memory, unverified"

# Cleanliness levels: lower bound of ISO 281:2007 Table 13, pitch diameter below 100 mm and from 100 mm.
CONTAMINATION_SOURCE: Final = "ISO 281:2007 Table 13, lower bound"
CONTAMINATION: Final[dict[str, tuple[float, float]]] = {
    "extreme_cleanliness": (1.0, 1.0),
    "high_cleanliness": (0.6, 0.8),
    "normal_cleanliness": (0.5, 0.6),
    "slight_contamination": (0.3, 0.4),
    "typical_contamination": (0.1, 0.2),
    "severe_contamination": (0.0, 0.0),
    "very_severe_contamination": (0.0, 0.0),
}
CONTAMINATION_PITCH_MM: Final = 100.0

# Fatigue load limit without a maker's value: C0 / 22 (ball), C0 / 8.2 (roller), less above dm 100 mm.
FATIGUE_SOURCE: Final = "ISO 281:2007 B.18 to B.21, simplified"
FATIGUE_BALL: Final = (22.0, 0.5)
FATIGUE_ROLLER: Final = (8.2, 0.3)

# Exponents of the life equation and of the series system of bearings.
LIFE_EXPONENT_BALL: Final = 3.0
LIFE_EXPONENT_ROLLER: Final = 10.0 / 3.0
SYSTEM_EXPONENT: Final = 10.0 / 9.0
SYSTEM_EXPONENT_ROLLER: Final = 9.0 / 8.0
SYSTEM_SOURCE: Final = "ISO/TR 1281-1, series system"

# a1 for a reliability S in per cent: 0.95 (ln(100/S) / ln(100/90))^(2/3) + 0.05; it gives every row of Table 12
# within 0.005. The rows of the 1990 edition are lower and do not go with aISO.
RELIABILITY_SOURCE: Final = "ISO 281:2007 Table 12; ISO/TR 1281-2, three-parameter law"
RELIABILITY_SHARE: Final = 0.95
RELIABILITY_REST: Final = 0.05
