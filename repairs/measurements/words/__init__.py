"""Shop tests in words: one file a test."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from repairs.measurements.words import (
    balance,
    hot_resistance,
    insulation,
    vibration,
    winding_resistance,
)
from repairs.measurements.words.shape import SubjectWords

BY_CODE: Final[Mapping[str, SubjectWords]] = {
    "insulation": insulation.WORDS,
    "winding_resistance": winding_resistance.WORDS,
    "hot_resistance": hot_resistance.WORDS,
    "vibration": vibration.WORDS,
    "balance": balance.WORDS,
}
