"""Factors of the ratings computed from a bearing's inside (ISO 281 and ISO 76)."""

from __future__ import annotations

from typing import Final

DYNAMIC_SOURCE: Final = "ISO 281:2007 Table 2"
STATIC_SOURCE: Final = "ISO 76:2006 Table 1"

# fc of single-row radial and angular contact ball bearings at gamma = 0.01, 0.02 ... 0.40.
FC_BALL: Final = (
    29.1, 35.8, 40.3, 43.8, 46.7, 49.1, 51.1, 52.8, 54.3, 55.5,
    56.6, 57.5, 58.2, 58.8, 59.3, 59.6, 59.8, 59.9, 60.0, 59.9,
    59.8, 59.6, 59.3, 59.0, 58.6, 58.2, 57.7, 57.1, 56.6, 56.0,
    55.3, 54.6, 53.9, 53.2, 52.4, 51.7, 50.9, 50.0, 49.2, 48.4,
)  # fmt: skip
# f0 of radial and angular contact ball bearings at gamma = 0.00, 0.01 ... 0.40 (ISO 76:2006 Table 1).
F0_BALL: Final = (
    14.7,
    14.9, 15.1, 15.3, 15.5, 15.7, 15.9, 16.1, 16.3, 16.5, 16.4,
    16.1, 15.9, 15.6, 15.4, 15.2, 14.9, 14.7, 14.4, 14.2, 14.0,
    13.7, 13.5, 13.2, 13.0, 12.8, 12.5, 12.3, 12.1, 11.8, 11.6,
    11.4, 11.2, 10.9, 10.7, 10.5, 10.3, 10.0, 9.8, 9.6, 9.4,
)  # fmt: skip
GAMMA_MAXIMUM: Final = 0.40

# bm: 1.3 for radial and angular contact groove bearings (ISO 281:2007 Table 1).
BM_BALL: Final = 1.3
# Ball diameter from which the rating grows with the power 1.4 instead of 1.8; 3.647 = 25.4 ** 0.4.
LARGE_BALL_MM: Final = 25.4
LARGE_BALL_FACTOR: Final = 3.647

# Thrust roller bearings: ISO 281:2007 Tables 9 and 10. fc in closed form (ISO/TR 1281-1), which gives every entry
# that is recalled within 0.05; its column by contact angle (the bounds from memory, unverified).
THRUST_ROLLER_SOURCE: Final = "ISO 281:2007 Tables 9 and 10 (bm from memory, unverified)"
THRUST_ROLLER_STATIC_SOURCE: Final = "ISO 76:2006"
THRUST_ROLLER_SCALE: Final = 0.73 * 551.13373
THRUST_ROLLER_COLUMNS: Final = ((60.0, 50.0), (75.0, 65.0), (90.0, 80.0))
THRUST_ROLLER_RATIO_MAXIMUM: Final = 0.30
BM_SPHERICAL_ROLLER_THRUST: Final = 1.15
STATIC_THRUST_ROLLER: Final = 220.0

# Fatigue load limit from the contacts of the balls: ISO 281:2007 Annex B, with the groove that ISO 281 rates by.
FATIGUE_LIMIT_SOURCE: Final = "ISO 281:2007 Annex B, contact pressure 1 500 N/mm2"
FATIGUE_PRESSURE: Final = 1_500.0
FATIGUE_ROW_SHARE: Final = 0.2288
GROOVE_RATIO: Final = 0.52
