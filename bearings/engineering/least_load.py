"""The least axial load at which the rolling elements of a bearing roll and do not skid.

The maker's factor A comes first. Without one an estimate stands: angular contact bearings A = ka (C0 / 1000)
(dm / 100)^2 N with ka 1.4 for series 02, 1.8 for series 03 and unknown ones (a handbook's, from memory; no ISO
standard gives one); spherical roller thrust bearings 0.001 C0 (handbook, recast).
"""

from __future__ import annotations

from math import sqrt
from typing import Final, Literal, NamedTuple

from bearings.engineering.quantities import Bearing
from bearings.engineering.tables.diameter_series import DIAMETER_SERIES_2_MM

Basis = Literal["maker", "estimate"]

MAKER_SOURCE: Final = "minimum-load factor of the bearing's source"
ESTIMATE_SOURCE: Final = "handbook estimate, ka C0 dm^2 (from memory, unverified); no ISO standard gives one"
ROLLER_ESTIMATE_SOURCE: Final = "handbook, 1.8 Fr or 0.001 C0 (recast)"
# Share of the radial load in a spherical roller thrust bearing's least axial load (handbook, older form).
SPHERICAL_THRUST_RADIAL_SHARE: Final = 1.8
# Of C0, beside the maker's A (from memory, unverified); and alone, as an estimate.
SPHERICAL_THRUST_STATIC_SHARE: Final = 0.0005
SPHERICAL_THRUST_ESTIMATE_SHARE: Final = 0.001
KA_SERIES_02: Final = 1.4
KA_OTHERS: Final = 1.8


class LeastLoad(NamedTuple):
    """What a bearing needs at a speed: the part that does not depend on it, the factor of (n/1000)^2, the basis."""

    fixed_n: float
    factor_n: float
    basis: Basis

    def at(self, speed_rpm: float) -> float:
        """Return the least axial load in N at a speed."""
        return self.fixed_n + self.factor_n * (speed_rpm / 1000) ** 2

    def enough_at_rpm(self, axial_n: float, speed_rpm: float) -> float:
        """Return the speed up to which an axial load suffices: at most ``speed_rpm``, 0 where it never does."""
        if axial_n < self.fixed_n:
            return 0.0
        if self.factor_n <= 0:
            return speed_rpm
        return min(speed_rpm, 1000 * sqrt((axial_n - self.fixed_n) / self.factor_n))


class SkiddingRow(NamedTuple):
    """One bearing on the side that carries a case's thrust: its load against what it needs at the case's speed."""

    ref: str
    axial_n: float
    minimum_n: float
    basis: Basis
    enough: bool
    test_run_rpm: float


def has_estimate(bearing: Bearing) -> bool:
    """Whether an estimate of the least load exists for the type."""
    return bearing.type in ("angular_contact_ball", "spherical_roller_thrust")


def _ka(bearing: Bearing) -> float:
    """Return ka by the series that bore and outside diameter give, never by the designation."""
    if bearing.bore_mm is None or bearing.outside_diameter_mm is None:
        return KA_OTHERS
    of_series_02 = DIAMETER_SERIES_2_MM.get(bearing.bore_mm) == bearing.outside_diameter_mm
    return KA_SERIES_02 if of_series_02 else KA_OTHERS


def estimated_factor_n(bearing: Bearing) -> float | None:
    """Return the estimate that stands for the maker's A.

    For a spherical roller thrust bearing, whose estimate does not grow with the speed, it is 1: a range of its factor
    scales the whole least load. None where an input is unknown.
    """
    if bearing.type == "spherical_roller_thrust":
        return 1.0
    pitch, static = bearing.pitch_mm, bearing.static_rating_n
    if pitch is None or static is None:
        return None
    return _ka(bearing) * static / 1000 * (pitch / 100) ** 2


def least_load(bearing: Bearing, radial_n: float, maker_n: float | None) -> LeastLoad | None:
    """Return what a bearing needs; ``maker_n`` is the maker's A, None where an estimate has to do.

    ``bearing.minimum_load_factor_n`` then holds the estimate's factor, taken somewhere in its range.
    """
    static, factor = bearing.static_rating_n, bearing.minimum_load_factor_n
    if bearing.type == "spherical_roller_thrust":
        if static is None:
            return None
        by_radial = SPHERICAL_THRUST_RADIAL_SHARE * radial_n
        if maker_n is not None:
            return LeastLoad(max(by_radial, SPHERICAL_THRUST_STATIC_SHARE * static), maker_n, "maker")
        scale = 1.0 if factor is None else factor
        return LeastLoad(scale * max(by_radial, SPHERICAL_THRUST_ESTIMATE_SHARE * static), 0.0, "estimate")
    if bearing.type != "angular_contact_ball":
        return None
    if maker_n is not None:
        return LeastLoad(0.0, maker_n, "maker")
    if factor is None:
        factor = estimated_factor_n(bearing)
    return None if factor is None else LeastLoad(0.0, factor, "estimate")
