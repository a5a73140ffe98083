"""Factors of friction, life and cleanliness, typed in a second time: a row for each row of the product's tables.

The source stands over each table; what no published text was at hand for says that it is from memory, unverified.
"""

from typing import Final

# Type, dimension series, example of a designation, f0r, f1r: ISO 15312 Annex A (from memory, unverified).
REFERENCE_SPEED_FACTORS: Final = [
    ("deep_groove_ball", "18", "61818", 1.7, 1.0e-4),
    ("deep_groove_ball", "19", "61918", 1.7, 1.5e-4),
    ("deep_groove_ball", "00", "16018", 1.7, 1.5e-4),
    ("deep_groove_ball", "10", "6018", 1.7, 1.5e-4),
    ("deep_groove_ball", "02", "6218", 2.0, 2.0e-4),
    ("deep_groove_ball", "03", "6318", 2.3, 2.0e-4),
    ("deep_groove_ball", "04", "6418", 2.3, 2.0e-4),
    ("angular_contact_ball", "02", "7220", 2.0, 2.5e-4),
    ("angular_contact_ball", "03", "7320", 3.0, 3.5e-4),
    ("cylindrical_roller", "10", "NU1018", 2.0, 2.0e-4),
    ("cylindrical_roller", "02", "NU218", 2.0, 3.0e-4),
    ("cylindrical_roller", "22", "NU2218", 3.0, 4.0e-4),
    ("cylindrical_roller", "03", "NU318", 2.0, 3.5e-4),
    ("cylindrical_roller", "23", "NU2318", 4.0, 4.0e-4),
    ("cylindrical_roller", "04", "NU418", 2.0, 4.0e-4),
    ("spherical_roller_thrust", "92", "29230", 3.7, 3.0e-4),
    ("spherical_roller_thrust", "93", "29330", 4.5, 4.0e-4),
    ("spherical_roller_thrust", "94", "29430", 5.0, 5.0e-4),
]

# Designation, type, f0 in a horizontal oil bath, in a vertical one, with grease (None: no value is known).
# Ball and cylindrical rows: textbook (from memory, unverified); thrust rollers 3, 3.5, 4 and twice that: published.
OIL_FACTORS: Final = [
    ("6318", "deep_groove_ball", 2.0, 4.0, 2.0),
    ("7220", "angular_contact_ball", 2.0, 4.0, 2.0),
    ("7320", "angular_contact_ball", 3.0, 6.0, 2.0),
    ("A 20", "angular_contact_ball", 3.3, 6.6, 2.0),
    ("NU318", "cylindrical_roller", 4.0, 4.0, 1.0),
    ("29230", "spherical_roller_thrust", 3.0, 6.0, None),
    ("29330", "spherical_roller_thrust", 3.5, 7.0, None),
    ("29430", "spherical_roller_thrust", 4.0, 8.0, None),
    ("A 30", "spherical_roller_thrust", 5.0, 10.0, None),
]

# Level, eC below a pitch diameter of 100 mm and from there on: ISO 281:2007 Table 13, lower bounds (public listings).
CLEANLINESS_LEVELS: Final = [
    ("extreme_cleanliness", 1.0, 1.0),
    ("high_cleanliness", 0.6, 0.8),
    ("normal_cleanliness", 0.5, 0.6),
    ("slight_contamination", 0.3, 0.4),
    ("typical_contamination", 0.1, 0.2),
    ("severe_contamination", 0.0, 0.0),
    ("very_severe_contamination", 0.0, 0.0),
]

# System and oil code, k, b of eC = a (1 - b / Dpw^(1/3)), whether two public texts print them: ISO 281:2007 Annex A;
# the grease rows from a public guideline for bearings of wind turbines (NREL/TP-500-42362, Table 7).
ANNEX_A: Final = [
    ("circulating_13_10", 0.0864, 0.5663, False),
    ("circulating_15_12", 0.0432, 0.9987, True),
    ("circulating_17_14", 0.0288, 1.6329, True),
    ("circulating_19_16", 0.0216, 2.3362, True),
    ("bath_13_10", 0.0864, 0.5796, False),
    ("bath_15_12", 0.0288, 1.141, False),
    ("bath_17_14", 0.0133, 1.67, False),
    ("bath_19_16", 0.00864, 2.5164, False),
    ("bath_21_18", 0.00411, 3.8974, False),
    ("grease_high_cleanliness", 0.0864, 0.6796, True),
    ("grease_normal_cleanliness", 0.0432, 1.141, True),
    ("grease_slight_contamination", 0.0177, 1.887, True),
    ("grease_severe_contamination", 0.0115, 2.662, True),
    ("grease_very_severe_contamination", 0.00617, 4.06, True),
]

# Viscosity ratio from, below, A of balls, B of rollers, exponent: ISO 281:2007 equations 31 to 42 (public listings).
LIFE_EQUATIONS: Final = [
    (0.1, 0.4, 2.2649, 1.3993, 0.054381),
    (0.4, 1.0, 1.9987, 1.2348, 0.19087),
    (1.0, 4.0, 1.9987, 1.2348, 0.071739),
]

# Contact angle, X, Y, e of one row: ISO 281:2007 Table 3.
STEEP_ANGLES: Final = [
    (20.0, 0.43, 1.00, 0.57),
    (25.0, 0.41, 0.87, 0.68),
    (30.0, 0.39, 0.76, 0.80),
    (35.0, 0.37, 0.66, 0.95),
    (40.0, 0.35, 0.57, 1.14),
    (45.0, 0.33, 0.50, 1.34),
]

# f0 Fa / C0, Y, e at a contact angle of 15 degrees, X = 0.44: ISO 281:2007 Table 3.
FIFTEEN_DEGREES: Final = [
    (0.178, 1.47, 0.38),
    (0.357, 1.40, 0.40),
    (0.714, 1.30, 0.43),
    (1.07, 1.23, 0.46),
    (1.43, 1.19, 0.47),
    (2.14, 1.12, 0.50),
    (3.57, 1.02, 0.55),
    (5.35, 1.00, 0.56),
    (7.14, 1.00, 0.56),
]

# f0 Fa / C0, Y, e of deep groove ball bearings, X = 0.56: ISO 281:2007 Table 3.
DEEP_GROOVES: Final = [
    (0.172, 2.30, 0.19),
    (0.345, 1.99, 0.22),
    (0.689, 1.71, 0.26),
    (1.03, 1.55, 0.28),
    (1.38, 1.45, 0.30),
    (2.07, 1.31, 0.34),
    (3.45, 1.15, 0.38),
    (5.17, 1.04, 0.42),
    (6.89, 1.00, 0.44),
]

# Contact angle, Y0 of one row: ISO 76:2006; 20, 35 and 45 degrees from memory, unverified.
STATIC_ANGLES: Final = [
    (15.0, 0.46),
    (20.0, 0.42),
    (25.0, 0.38),
    (30.0, 0.33),
    (35.0, 0.29),
    (40.0, 0.26),
    (45.0, 0.22),
]

# Dw cos(alpha) / Dpw in hundredths from 0 to 40, f0: ISO 76:2006 Table 1.
STATIC_FACTORS: Final = [
    14.7, 14.9, 15.1, 15.3, 15.5, 15.7, 15.9, 16.1, 16.3, 16.5, 16.4, 16.1, 15.9, 15.6,
    15.4, 15.2, 14.9, 14.7, 14.4, 14.2, 14.0, 13.7, 13.5, 13.2, 13.0, 12.8, 12.5, 12.3,
    12.1, 11.8, 11.6, 11.4, 11.2, 10.9, 10.7, 10.5, 10.3, 10.0, 9.8, 9.6, 9.4,
]  # fmt: skip
