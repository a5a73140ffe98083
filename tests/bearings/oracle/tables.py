"""Published values as the second implementation uses them, typed in again on its own.

Equivalent loads: ISO 281:2007 tables 3 and 5. Static factors Y0 and f0: ISO 76:2006. Oil: ASTM D341 and D2270.
Contamination: ISO 281:2007 table 13, lower bounds. Between columns and rows the tables are interpolated linearly.
All of it stands here from memory, unverified against the standards themselves.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.optimize import brentq

# angle: (e, X2, Y2), single row; the 15 degree column depends on the relative axial load.
ANGLES = [20.0, 25.0, 30.0, 35.0, 40.0, 45.0]
E_BY_ANGLE = [0.57, 0.68, 0.80, 0.95, 1.14, 1.34]
X_BY_ANGLE = [0.43, 0.41, 0.39, 0.37, 0.35, 0.33]
Y_BY_ANGLE = [1.00, 0.87, 0.76, 0.66, 0.57, 0.50]

REL_15 = [0.178, 0.357, 0.714, 1.07, 1.43, 2.14, 3.57, 5.35, 7.14]
E_15 = [0.38, 0.40, 0.43, 0.46, 0.47, 0.50, 0.55, 0.56, 0.56]
Y_15 = [1.47, 1.40, 1.30, 1.23, 1.19, 1.12, 1.02, 1.00, 1.00]
X_15 = 0.44

REL_DEEP = [0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89]
E_DEEP = [0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44]
Y_DEEP = [2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00]

Y0_ANGLES = [15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0]
Y0_VALUES = [0.46, 0.42, 0.38, 0.33, 0.29, 0.26, 0.22]

F0_STATIC = [
    14.7, 14.9, 15.1, 15.3, 15.5, 15.7, 15.9, 16.1, 16.3, 16.5, 16.4, 16.1, 15.9, 15.6, 15.4, 15.2, 14.9, 14.7,
    14.4, 14.2, 14.0, 13.7, 13.5, 13.2, 13.0, 12.8, 12.5, 12.3, 12.1, 11.8, 11.6, 11.4, 11.2, 10.9, 10.7, 10.5,
    10.3, 10.0, 9.8, 9.6, 9.4,
]  # fmt: skip

CONTAMINATION = {
    "extreme_cleanliness": (1.0, 1.0),
    "high_cleanliness": (0.6, 0.8),
    "normal_cleanliness": (0.5, 0.6),
    "slight_contamination": (0.3, 0.4),
    "typical_contamination": (0.1, 0.2),
    "severe_contamination": (0.0, 0.0),
    "very_severe_contamination": (0.0, 0.0),
}

# ASTM D2270: lowest viscosity at 100 degC of the band, then a b c (L) and d e f (H).
D2270 = [
    (2.0, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077),
    (3.8, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183),
    (4.4, 2.5, -7.2143, 13.812, 0.82143, 1.5679, 0.119),
    (5.0, 0.10100, 16.635, -45.469, 0.04985, 9.1613, -18.557),
    (6.4, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656),
    (7.0, 0.01191, 21.475, -72.870, 0.79762, -0.7321, 14.610),
    (7.7, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240),
    (9.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810),
    (12.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490),
    (15.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930),
    (18.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730),
    (22.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230),
    (28.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750),
    (40.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620),
    (55.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940),
    (70.0, 0.83531, 14.6731, -216.246, 0.16841, 11.8493, -96.947),
]
GRADES_BESIDE_THEIR_NUMBER = {2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8}


def line(x: float, xs: list[float], ys: list[float]) -> float:
    """Interpolate linearly; outside the table the end value."""
    return float(np.interp(x, xs, ys))


def axial_factors_angular(angle_deg: float, relative: float | None) -> tuple[float, float, float]:
    """Give e, X, Y of one row; below 20 degrees a relative axial load is needed (NaN without one)."""
    if angle_deg >= 20.0:
        return (
            line(angle_deg, ANGLES, E_BY_ANGLE),
            line(angle_deg, ANGLES, X_BY_ANGLE),
            line(angle_deg, ANGLES, Y_BY_ANGLE),
        )
    if relative is None:
        return math.nan, math.nan, math.nan
    at_15 = (line(relative, REL_15, E_15), X_15, line(relative, REL_15, Y_15))
    at_20 = (E_BY_ANGLE[0], X_BY_ANGLE[0], Y_BY_ANGLE[0])
    part = (angle_deg - 15.0) / 5.0
    e, x, y = (low + part * (high - low) for low, high in zip(at_15, at_20, strict=True))
    return e, x, y


def static_factor_f0(gamma: float) -> float:
    """Give f0 of ISO 76 for a radial ball bearing; NaN outside its table."""
    if not 0.0 <= gamma <= 0.40:
        return math.nan
    return line(gamma, [i / 100 for i in range(len(F0_STATIC))], F0_STATIC)


def viscosity_index(at_40: float, at_100: float) -> float:
    """Give the index of an oil from its two viscosities."""
    band = [row for row in D2270 if row[0] <= at_100][-1]
    low = band[1] * at_100**2 + band[2] * at_100 + band[3]
    high = band[4] * at_100**2 + band[5] * at_100 + band[6]
    if at_40 >= high:
        return 100.0 * (low - at_40) / (low - high)
    power = (math.log10(high) - math.log10(at_40)) / math.log10(at_100)
    return (10.0**power - 1.0) / 0.00715 + 100.0


def viscosity_at(iso_vg: float, index: float, temperature_c: float) -> float:
    """Give the viscosity at a temperature by the straight line of ASTM D341 through 40 and 100 degC."""
    at_40 = GRADES_BESIDE_THEIR_NUMBER.get(int(iso_vg) if iso_vg == int(iso_vg) else -1, iso_vg)
    at_100 = brentq(lambda y: viscosity_index(at_40, y) - index, 2.0, 0.98 * at_40, xtol=1e-13)
    w40, w100 = (math.log10(math.log10(v + 0.7)) for v in (at_40, at_100))
    t40, t100, t = (math.log10(c + 273.15) for c in (40.0, 100.0, temperature_c))
    w = w40 + (w100 - w40) * (t - t40) / (t100 - t40)
    return float(10.0 ** (10.0**w) - 0.7)
