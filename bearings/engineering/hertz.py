"""Elliptic point contact after Hertz, with complete elliptic integrals (no curve fits in the result).

Two bodies of one steel touch at a point; their principal curvatures are known. The axis ratio of the contact
ellipse follows from the difference of the curvatures, and everything else from the axis ratio.
"""

from __future__ import annotations

from functools import lru_cache
from math import isclose, pi, sqrt
from typing import Final, NamedTuple

# Bearing steel (common practice, no source). [N/mm2]
ELASTIC_MODULUS: Final = 207_000.0
POISSON: Final = 0.3
SOURCE: Final = "Hertz, complete elliptic integrals; E = 207 GPa, nu = 0.3"
MOST_STEPS: Final = 60


def elliptic_integrals(m: float) -> tuple[float, float]:
    """Return K(m) and E(m) for 0 <= m < 1 by the arithmetic-geometric mean.

    >>> [round(value, 6) for value in elliptic_integrals(0.5)]
    [1.854075, 1.350644]
    """
    if not 0 <= m < 1:
        raise ValueError(f"m {m:g} is outside 0 to below 1")
    a, b, c = 1.0, sqrt(1 - m), sqrt(m)
    power, lost = 0.5, 0.5 * m
    # Digits double at each step; below 1e-9 the next step is exact.
    while c > 1e-9 * a:
        a, b, c = (a + b) / 2, sqrt(a * b), (a - b) / 2
        power *= 2
        lost += power * c * c
    a = (a + b) / 2
    k = pi / (2 * a)
    return k, k * (1 - lost)


def _curvature_difference(ratio: float) -> tuple[float, float, float]:
    """Return F(rho) that belongs to an axis ratio a/b above 1, with K and E."""
    square = ratio * ratio
    k, e = elliptic_integrals(1 - 1 / square)
    return ((square + 1) * e - 2 * k) / ((square - 1) * e), k, e


class Ellipse(NamedTuple):
    """Shape of a contact: axis ratio a/b and the dimensionless half axes and approach."""

    ratio: float
    a_star: float
    b_star: float
    approach_star: float


def ellipse_of(difference: float) -> Ellipse:
    """Return the contact ellipse for F(rho), the curvature difference over the curvature sum, 0 to below 1.

    F = ((k^2 + 1) E - 2 K) / ((k^2 - 1) E) is solved for the axis ratio k = a/b. Source: Hertz.

    >>> ellipse_of(0.0).ratio, round(ellipse_of(0.9).ratio, 2)
    (1.0, 6.71)
    """
    if not 0 <= difference < 1:
        raise ValueError(f"curvature difference {difference:g} is outside 0 to below 1")
    if difference < 1e-9:
        return Ellipse(1.0, 1.0, 1.0, 1.0)
    # Start: an approximation of the axis ratio by the ratio of the curvatures; it only saves steps.
    start = ((1 + difference) / (1 - difference)) ** 0.636
    low, high = 1.0, max(2.0, 2 * start)
    while _curvature_difference(high)[0] < difference:
        low, high = high, 2 * high
    ratio = min(max(start, low * (1 + 1e-12)), high)
    for _ in range(MOST_STEPS):
        found = _curvature_difference(ratio)[0]
        if found < difference:
            low = ratio
        else:
            high = ratio
        near = ratio * (1 + 1e-6)
        slope = (_curvature_difference(near)[0] - found) / (near - ratio)
        following = ratio - (found - difference) / slope if slope > 0 else low
        if not low < following < high:
            following = (low + high) / 2
        if isclose(following, ratio, rel_tol=1e-13):
            break
        ratio = following
    _, k, e = _curvature_difference(ratio)
    square = ratio * ratio
    return Ellipse(
        ratio,
        (2 * square * e / pi) ** (1 / 3),
        (2 * e / (pi * ratio)) ** (1 / 3),
        2 * k / pi * (pi / (2 * square * e)) ** (1 / 3),
    )


class PointContact(NamedTuple):
    """One elliptic contact of two steel bodies: curvature sum in 1/mm and the shape of its ellipse."""

    curvature_sum: float
    ellipse: Ellipse
    modulus: float
    poisson: float

    def _load_term(self, force_n: float) -> float:
        compliance = 2 * (1 - self.poisson**2) / self.modulus
        return 3 * force_n / (2 * self.curvature_sum) * compliance

    def half_axes_mm(self, force_n: float) -> tuple[float, float]:
        """Return the greater and the lesser half axis of the ellipse."""
        size = self._load_term(force_n) ** (1 / 3)
        return self.ellipse.a_star * size, self.ellipse.b_star * size

    def greatest_pressure(self, force_n: float) -> float:
        """Return the pressure in the middle of the ellipse in N/mm2."""
        a, b = self.half_axes_mm(force_n)
        return 3 * force_n / (2 * pi * a * b) if force_n > 0 else 0.0

    def approach_mm(self, force_n: float) -> float:
        """Return how far the bodies come together."""
        square: float = self._load_term(force_n) ** (2 / 3)
        return self.ellipse.approach_star * square * self.curvature_sum / 2

    @property
    def stiffness(self) -> float:
        """K of force = K approach^1.5, in N/mm^1.5."""
        return float(self.approach_mm(1.0) ** -1.5)


def point_contact(
    first: tuple[float, float],
    second: tuple[float, float],
    modulus: float = ELASTIC_MODULUS,
    poisson: float = POISSON,
) -> PointContact:
    """Return the contact of two bodies from their curvatures in 1/mm in the two common planes; hollow is negative.

    ``modulus`` in N/mm2. Raises ValueError where the curvatures add up to zero or less. Source: Hertz.

    >>> ball = (2 / 10.0, 2 / 10.0)  # a ball of 10 mm on a flat under 100 N
    >>> touch = point_contact(ball, (0.0, 0.0))
    >>> round(touch.greatest_pressure(100.0)), round(touch.approach_mm(100.0), 5)
    (2155, 0.00443)
    """
    total = sum(first) + sum(second)
    if total <= 0:
        raise ValueError("the bodies do not touch at a point: their curvatures add up to zero or less")
    difference = abs(first[0] + second[0] - first[1] - second[1]) / total
    return PointContact(total, ellipse_of(difference), modulus, poisson)


class BallContacts(NamedTuple):
    """The two contacts of a ball between inner and outer groove, and their common stiffness in N/mm^1.5."""

    inner: PointContact
    outer: PointContact
    stiffness: float


@lru_cache(maxsize=4096)
def ball_contacts(ball_mm: float, gamma: float, inner_ratio: float, outer_ratio: float) -> BallContacts:
    """Return the contacts of a ball; gamma = Dw cos(alpha) / dm, the ratios are groove radius over ball diameter.

    ``ball_mm`` above 0, ratios above 0.5. The common stiffness is that of both contacts in series,
    K = (Ki^(-2/3) + Ko^(-2/3))^(-3/2) in N/mm^1.5. Source: Hertz.

    >>> found = ball_contacts(34.925, 0.17, 0.52, 0.53)
    >>> found.stiffness < min(found.inner.stiffness, found.outer.stiffness)
    True
    """
    ball = (2 / ball_mm, 2 / ball_mm)
    inner = point_contact(ball, (-1 / (inner_ratio * ball_mm), 2 * gamma / (ball_mm * (1 - gamma))))
    outer = point_contact(ball, (-1 / (outer_ratio * ball_mm), -2 * gamma / (ball_mm * (1 + gamma))))
    joint = (inner.stiffness ** (-2 / 3) + outer.stiffness ** (-2 / 3)) ** -1.5
    return BallContacts(inner, outer, joint)
