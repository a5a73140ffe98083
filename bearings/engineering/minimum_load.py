"""The least axial load at which the rolling elements of a bearing roll and do not skid."""

from __future__ import annotations

from typing import Final

from bearings.engineering.quantities import Bearing

# Share of the radial load in a spherical roller thrust bearing's least axial load (older form; common practice, no
# source).
SPHERICAL_THRUST_RADIAL_SHARE: Final = 1.8
SOURCE: Final = "minimum load factor of the bearing's source"


def minimum_load(bearing: Bearing, speed_rpm: float, radial_n: float | None) -> float | None:
    """Return the least axial load of a bearing at a speed; None when the maker's factor is unknown."""
    if bearing.minimum_load_factor_n is None:
        return None
    inertia = bearing.minimum_load_factor_n * (speed_rpm / 1000) ** 2
    if bearing.type != "spherical_roller_thrust":
        return inertia
    # A radial load that is not known can only raise the limit: what lies below this one is too little all the same.
    return SPHERICAL_THRUST_RADIAL_SHARE * (radial_n or 0.0) + inertia
