"""Shop tests in words: one file a test."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from repairs.measurements.words import (
    insulation,
    vibration,
)
from repairs.measurements.words.shape import SubjectWords

BY_CODE: Final[Mapping[str, SubjectWords]] = {
    "insulation": insulation.WORDS,
    "vibration": vibration.WORDS,
}
