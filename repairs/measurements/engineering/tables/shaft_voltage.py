"""Shaft voltage end to end, insulation of a bearing."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

HIGHEST_PEAK: Final = Limit(
    None, 0.3, Source("NEMA MG 1", "", "31.4.4.3, sine supply: above it consider insulating", "memory")
)
LEAST_INSULATION: Final = Limit(1.0, None, COMMON_PRACTICE)
TEST_VOLTAGE_V: Final = 500.0
