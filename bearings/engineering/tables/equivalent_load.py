"""Factors of the equivalent loads of single-row bearings (ISO 281 and ISO 76).

The dynamic rows satisfy e = (1 - X) / Y to rounding. Between two contact angles, and between two
relative loads, the factors are interpolated linearly; beyond the last relative load the end row holds
(common practice, no source).
"""

from __future__ import annotations

from typing import Final

DYNAMIC_SOURCE: Final = "ISO 281:2007 Table 3"
STATIC_SOURCE: Final = "ISO 76:2006"

# Contact angles of 20 degrees and more: factors do not depend on the load.
CONTACT_ANGLES_DEG: Final = (20.0, 25.0, 30.0, 35.0, 40.0, 45.0)
ANGULAR_X: Final = (0.43, 0.41, 0.39, 0.37, 0.35, 0.33)
ANGULAR_Y: Final = (1.0, 0.87, 0.76, 0.66, 0.57, 0.5)
ANGULAR_E: Final = (0.57, 0.68, 0.8, 0.95, 1.14, 1.34)

# Contact angle 15 degrees: factors against the relative axial load f0 Fa / C0.
FIFTEEN_RELATIVE_LOADS: Final = (0.178, 0.357, 0.714, 1.07, 1.43, 2.14, 3.57, 5.35, 7.14)
FIFTEEN_X: Final = 0.44
FIFTEEN_Y: Final = (1.47, 1.4, 1.3, 1.23, 1.19, 1.12, 1.02, 1.0, 1.0)
FIFTEEN_E: Final = (0.38, 0.4, 0.43, 0.46, 0.47, 0.5, 0.55, 0.56, 0.56)

# Deep groove: factors against the same relative load.
GROOVE_RELATIVE_LOADS: Final = (0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89)
GROOVE_X: Final = 0.56
GROOVE_Y: Final = (2.3, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.0)
GROOVE_E: Final = (0.19, 0.22, 0.26, 0.28, 0.3, 0.34, 0.38, 0.42, 0.44)

# f0 where the ball geometry is unknown: the rows against Fa / C0 (common practice, no source).
TEXTBOOK_F0: Final = 12.3
TEXTBOOK_F0_SOURCE: Final = "table of Fa/C0 (common practice, no source), not ISO 281 Table 3"

# Static: P0 = max(Fr, X0 Fr + Y0 Fa). 15, 25, 30, 40 degrees confirmed; the rest from memory, unverified.
Y0_FROM_MEMORY_SOURCE: Final = "ISO 76:2006 (Y0 between the confirmed angles from memory, unverified)"
CONFIRMED_Y0_ANGLES_DEG: Final = (15.0, 25.0, 30.0, 40.0)
STATIC_ANGLES_DEG: Final = (15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0)
ANGULAR_Y0: Final = (0.46, 0.42, 0.38, 0.33, 0.29, 0.26, 0.22)
ANGULAR_X0: Final = 0.5
GROOVE_X0: Final = 0.6
GROOVE_Y0: Final = 0.5

# Spherical roller thrust: P = Fa + 1.2 Fr, P0 = Fa + 2.7 Fr, for Fr <= 0.55 Fa (common practice; ISO
# 281:2007 Table 9 and ISO 76:2006 at 50 degrees, rounded).
SPHERICAL_THRUST_X: Final = 1.2
SPHERICAL_THRUST_X0: Final = 2.7
SPHERICAL_THRUST_RADIAL_LIMIT: Final = 0.55
SPHERICAL_THRUST_STATIC_SOURCE: Final = (
    "common practice, no source; ISO 76:2006 has 2.3 Fr tan(alpha) + Fa (from memory, unverified)"
)
SPHERICAL_THRUST_SOURCE: Final = (
    "common practice, no source; ISO 281:2007 Table 9 gives 1.19 and 0.56 at 50 degrees"
)
