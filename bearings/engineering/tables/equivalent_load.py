"""X, Y, e and Y0 of ISO 281:2007 Table 3 and ISO 76:2006, and f0 of ISO 76.

Every row of Table 3 satisfies e = (1 - X) / Y to rounding, which confirms the transcription.
Y0 at 20, 35 and 45 degrees: from memory, unverified.
"""

from typing import Final

# contact angle -> (e, X, Y) of a single row
ANGULAR: Final = {
    20.0: (0.57, 0.43, 1.00),
    25.0: (0.68, 0.41, 0.87),
    30.0: (0.80, 0.39, 0.76),
    35.0: (0.95, 0.37, 0.66),
    40.0: (1.14, 0.35, 0.57),
    45.0: (1.34, 0.33, 0.50),
}
# relative axial load -> (e, Y) at 15 degrees, X = 0.44
ANGULAR_15_X: Final = 0.44
ANGULAR_15: Final = (
    (0.178, 0.38, 1.47),
    (0.357, 0.40, 1.40),
    (0.714, 0.43, 1.30),
    (1.07, 0.46, 1.23),
    (1.43, 0.47, 1.19),
    (2.14, 0.50, 1.12),
    (3.57, 0.55, 1.02),
    (5.35, 0.56, 1.00),
    (7.14, 0.56, 1.00),
)
# relative axial load -> (e, Y) of deep groove bearings, X = 0.56
DEEP_GROOVE_X: Final = 0.56
DEEP_GROOVE: Final = (
    (0.172, 0.19, 2.30),
    (0.345, 0.22, 1.99),
    (0.689, 0.26, 1.71),
    (1.03, 0.28, 1.55),
    (1.38, 0.30, 1.45),
    (2.07, 0.34, 1.31),
    (3.45, 0.38, 1.15),
    (5.17, 0.42, 1.04),
    (6.89, 0.44, 1.00),
)
# contact angle -> Y0, ISO 76
STATIC_Y0: Final = ((15.0, 0.46), (20.0, 0.42), (25.0, 0.38), (30.0, 0.33), (35.0, 0.29), (40.0, 0.26), (45.0, 0.22))
# f0 of ISO 76 for radial ball bearings at gamma = 0.00, 0.01, ... 0.40
STATIC_F0: Final = (
    14.7, 14.9, 15.1, 15.3, 15.5, 15.7, 15.9, 16.1, 16.3, 16.5, 16.4, 16.1, 15.9, 15.6, 15.4, 15.2, 14.9, 14.7,
    14.4, 14.2, 14.0, 13.7, 13.5, 13.2, 13.0, 12.8, 12.5, 12.3, 12.1, 11.8, 11.6, 11.4, 11.2, 10.9, 10.7, 10.5,
    10.3, 10.0, 9.8, 9.6, 9.4,
)  # fmt: skip
# Textbook tables against Fa/C0 divide the relative axial load by this; used when the balls are not known.
F0_WHEN_UNKNOWN: Final = 12.3
