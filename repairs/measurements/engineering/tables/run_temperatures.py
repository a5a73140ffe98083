"""Bearing temperatures of a run: when they count as stable, and what they are held to."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

STABLE: Final = Source("IEEE 112", "", "stable: change of at most 1 °C in 30 min", "memory")
STABLE_MINUTES: Final = 30.0
STABLE_CHANGE_K: Final = 1.0
RISE_ROLLING: Final = Limit(None, 50.0, COMMON_PRACTICE)
ROLLING: Final = Limit(
    None, 95.0, Source("trade text", "", "alarm of oil-lubricated rolling bearings", "secondary")
)
PLATE: Final = Limit(None, 93.0, Source("API 541", "", "sleeve and plate bearings", "memory"))
# What a run without load usually stays below.
USUAL_NO_LOAD_K: Final = 30.0
# Between two readings, and at least twice as fast as just before: something happened.
STEP_K: Final = 5.0
STEP_FASTER: Final = 2.0
PRACTICE: Final = COMMON_PRACTICE
# What a lead enters of the maker's word; this page knows none.
NO_THRUST: Final = Source("maker's limit, entered by the lead", sureness="entered")
