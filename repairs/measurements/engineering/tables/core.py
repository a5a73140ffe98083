"""Stator core before and after the winding is taken out; part temperature in ovens."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from repairs.measurements.engineering.limits import COMMON_PRACTICE, Limit, Source

LARGEST_RISE: Final = Limit(None, 20.0, Source("ANSI/EASA AR100", "2020", "4.2.6", "memory"))
LARGEST_HOT_SPOT: Final = Limit(None, 10.0, COMMON_PRACTICE)
# Core loss grows with flux by this power or a little less.
FLUX_POWER: Final = 2.0
FLUX_SOURCE: Final = COMMON_PRACTICE
# Highest temperature of the part, by what the oven is for. Baking follows the varnish: its maker's figure alone.
HIGHEST_PART_C: Final[Mapping[str, Limit]] = {
    "burn_off_organic": Limit(
        None, 370.0, Source("trade text", "", "burn-off, organic core plate", "secondary")
    ),
    "burn_off_inorganic": Limit(
        None, 400.0, Source("ANSI/EASA AR100", "2020", "inorganic core plate", "memory")
    ),
    "drying": Limit(None, 105.0, COMMON_PRACTICE),
}
PURPOSES: Final = (*HIGHEST_PART_C, "bake")
# A time between two readings this many times the usual one is a gap.
GAP_TIMES: Final = 3.0
