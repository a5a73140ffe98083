"""Outside diameters of ISO 15 diameter series 2 by bore, in mm (re-entered from memory of the standard, unverified).

Every row agrees with the open part tables that the tests read.
"""

from __future__ import annotations

from typing import Final

SOURCE: Final = "ISO 15, diameter series 2 (from memory, unverified)"
DIAMETER_SERIES_2_MM: Final[dict[float, float]] = {
    10: 30, 12: 32, 15: 35, 17: 40, 20: 47, 25: 52, 30: 62, 35: 72, 40: 80, 45: 85, 50: 90, 55: 100, 60: 110,
    65: 120, 70: 125, 75: 130, 80: 140, 85: 150, 90: 160, 95: 170, 100: 180, 105: 190, 110: 200, 120: 215,
    130: 230, 140: 250, 150: 270, 160: 290, 170: 310, 180: 320, 190: 340, 200: 360, 220: 400, 240: 440,
}  # fmt: skip
