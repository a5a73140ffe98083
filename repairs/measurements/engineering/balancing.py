"""Unbalance from trial weights: influence coefficients for one plane and for two, and the residual test.

Vibrations and weights are complex numbers; all their angles run in one direction around the rotor. A trial weight is
taken off before the next run.
"""

from __future__ import annotations

from cmath import phase, rect
from collections.abc import Sequence
from math import atan2, cos, degrees, hypot, radians, sin, sqrt
from typing import NamedTuple

from repairs.measurements.engineering.tables import balance as table


class Influence(NamedTuple):
    """How much vibration one unit of unbalance makes: sensor 1 and 2 by plane A and B; of one plane only ``a1``."""

    a1: complex
    b1: complex = 0j
    a2: complex = 0j
    b2: complex = 0j

    @property
    def two_planes(self) -> bool:
        return self.b2 != 0

    def unbalance(self, first: complex, second: complex = 0j) -> tuple[complex, complex] | None:
        """Return the unbalance in plane A and B that makes two vibrations; None where the planes act alike."""
        if not self.two_planes:
            return (first / self.a1, 0j) if self.a1 else None
        determinant = self.a1 * self.b2 - self.b1 * self.a2
        size = abs(self.a1 * self.b2) + abs(self.b1 * self.a2)
        if size == 0 or abs(determinant) < table.LEAST_DETERMINANT * size:
            return None
        in_a = (self.b2 * first - self.b1 * second) / determinant
        in_b = (self.a1 * second - self.a2 * first) / determinant
        return in_a, in_b


def vector(amount: float, angle_deg: float) -> complex:
    """Return an amount at an angle as a complex number."""
    return rect(amount, radians(angle_deg))


def amount_and_angle(value: complex) -> tuple[float, float]:
    """Return amount and angle from 0 up to 360 degrees."""
    return abs(value), degrees(phase(value)) % 360


def one_plane(before: complex, with_trial: complex, trial: complex) -> Influence:
    """Return the influence of the only plane on its sensor."""
    return Influence((with_trial - before) / trial)


def two_planes(
    before: tuple[complex, complex],
    with_a: tuple[complex, complex],
    with_b: tuple[complex, complex],
    trials: tuple[complex, complex],
) -> Influence:
    """Return the influence of two planes on two sensors, from a run before and one with a weight in each plane."""
    return Influence(
        a1=(with_a[0] - before[0]) / trials[0],
        b1=(with_b[0] - before[0]) / trials[1],
        a2=(with_a[1] - before[1]) / trials[0],
        b2=(with_b[1] - before[1]) / trials[1],
    )


def residual(
    trial: float, bare: float, readings: Sequence[tuple[float, float]]
) -> tuple[float, float] | None:
    """Return amount and angle of the residual unbalance from a known one at several angles; None where none fits.

    ``readings`` are angle and reading. Squares of readings are a constant and one sine around the rotor; ``bare``,
    the reading without the weight, decides whether the weight or the residual is the greater.
    """
    fit = _sine([(angle, reading**2) for angle, reading in readings])
    if fit is None or fit[0] <= 0 or trial <= 0:
        return None
    mean, along, across = fit
    part = min(hypot(along, across) / mean, 1.0)
    ratio = part / (1 + sqrt(1 - part**2))
    if bare**2 > mean / 2:
        if ratio == 0:
            return None
        ratio = 1 / ratio
    return trial * ratio, degrees(atan2(across, along)) % 360


def _sine(points: Sequence[tuple[float, float]]) -> tuple[float, float, float] | None:
    """Return the constant, cosine and sine part of values around a circle by least squares."""
    if len({round(angle % 360, 6) for angle, _ in points}) < 3:
        return None
    rows = [(1.0, cos(radians(angle)), sin(radians(angle)), value) for angle, value in points]
    matrix = [[sum(row[i] * row[j] for row in rows) for j in range(4)] for i in range(3)]
    for i in range(3):
        pivot = max(range(i, 3), key=lambda at: abs(matrix[at][i]))
        if abs(matrix[pivot][i]) < 1e-9:
            return None
        matrix[i], matrix[pivot] = matrix[pivot], matrix[i]
        for j in range(3):
            if j != i:
                factor = matrix[j][i] / matrix[i][i]
                matrix[j] = [b - factor * a for a, b in zip(matrix[i], matrix[j], strict=True)]
    return matrix[0][3] / matrix[0][0], matrix[1][3] / matrix[1][1], matrix[2][3] / matrix[2][2]
