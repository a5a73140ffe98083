"""How long grease lasts: the old handbook rule for lithium soap grease on mineral oil.

    t = K (14 000 000 / (n sqrt(d)) - 4 d)      hours at 70 degC, n in rpm, d the bore in mm

It is halved for every 15 K above 70 degC and once on a vertical shaft. From memory, unverified: the numbers of the
rule agree between several handbooks, none of which was at hand. Load, dirt and what the maker of a better grease
promises are not in it. ``K`` of an angular contact bearing is taken as that of the other ball bearings.
"""

from __future__ import annotations

from typing import Final

SOURCE: Final = "handbook rule for lithium soap grease (from memory, unverified)"
TYPE_FACTOR: Final[dict[str, float]] = {
    "deep_groove_ball": 10.0,
    "angular_contact_ball": 10.0,
    "cylindrical_roller": 5.0,
    "spherical_roller_thrust": 1.0,
}
SPEED_CONSTANT: Final = 14e6
BORE_CONSTANT: Final = 4.0
BASE_C: Final = 70.0
HALVED_EACH_K: Final = 15.0
VERTICAL_FACTOR: Final = 0.5
# Above it the rule ends, and longer than this nothing is claimed (common practice, no source).
HOTTEST_C: Final = 120.0
LONGEST_H: Final = 40_000.0
