"""Shaft voltage end to end, insulation of a bearing."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

HIGHEST_PEAK: Final = Limit(
    None, 0.3, Source("NEMA MG 1", "", "31.4.4.3, sine supply: above it consider insulating", "memory")
)
# From here on shops look for the cause, whatever is insulated.
SHOP_FLAG_RMS: Final = Limit(None, 0.5, COMMON_PRACTICE)
LEAST_INSULATION: Final = Limit(1.0, None, COMMON_PRACTICE)
TEST_VOLTAGE_V: Final = 500.0
