"""End play: what is usual. No standard limits it: the maker's figure or the checker's prediction does."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Source

INCH: Final = 25.4
FRAMES: Final = Source("trade text", "", "vertical hollow shaft, 320 to 440 frames", "secondary")
PAIR: Final = Source("trade text", "", "back to back pair", "secondary")
# Lowest and highest end play in mm of an arrangement, and where that comes from.
TYPICAL: Final = {
    "angular_contact": (0.005 * INCH, 0.010 * INCH, FRAMES),
    "back_to_back": (0.0, 0.005 * INCH, PAIR),
    "spherical_roller": (0.015 * INCH, 0.020 * INCH, COMMON_PRACTICE),
}
REPEATS: Final = 3
# Repeats that differ by more were not measured alike: a hundredth, and a fifth of the mean. Common practice.
SPREAD_MM: Final = 0.01
SPREAD_SHARE: Final = 0.2
PRACTICE: Final = COMMON_PRACTICE
