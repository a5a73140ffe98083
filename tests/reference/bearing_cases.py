"""Values from outside the project, or derived apart from its code. Every row ends with its source."""

from typing import Final

# U (40 degC), Y (100 degC), viscosity index.
VISCOSITY_INDICES: Final = [
    (73.30, 8.86, 92.43, "ASTM D2270, procedure A example"),
    (22.83, 5.05, 156.37, "ASTM D2270, procedure B example"),
]

# at 40, at 100, temperature, viscosity.
WALTHER: Final = [(32.0, 5.4, 80.0, 8.5, "ASTM D341, two-point rule with 273 K, by hand")]

# ISO VG, viscosity at 100 / 60 / 70 / 80 / 90 degC for index 95.
GRADES: Final = [
    (32, 5.29, 15.03, 11.03, 8.39, 6.58, "computed from ASTM D341 and D2270 apart from this code"),
    (68, 8.53, 28.37, 19.86, 14.49, 10.95, "computed from ASTM D341 and D2270 apart from this code"),
    (150, 14.54, 56.29, 37.67, 26.42, 19.27, "computed from ASTM D341 and D2270 apart from this code"),
    (320, 23.95, 107.96, 69.09, 46.55, 32.77, "computed from ASTM D341 and D2270 apart from this code"),
]

# type, contact angle, Fr, Fa, C0, f0 or None, P, relative tolerance.
EQUIVALENT_LOADS: Final = [
    (
        "angular_contact_ball",
        25.0,
        1.2e3,
        1.5e3,
        None,
        1_797.0,
        0.002,
        "Juvinall and Marshek, Fundamentals of Machine Component Design, 14.1 (from memory, unverified)",
    ),
    ("angular_contact_ball", 25.0, 5e3, 8e3, None, 9_010.0, 0.001, "ISO 281 Table 3"),
    ("angular_contact_ball", 40.0, 0.0, 20e3, None, 11_400.0, 1e-9, "ISO 281 Table 3: Y = 0.57"),
    (
        "deep_groove_ball",
        None,
        5e3,
        2e3,
        10e3,
        5_340.0,
        0.005,
        "Shigley's Mechanical Engineering Design, chapter 11, table of Fa/C0 (from memory, unverified)",
    ),
    (
        "spherical_roller_thrust",
        None,
        10e3,
        120e3,
        None,
        132_000.0,
        1e-9,
        "ISO 281:2007 Table 9: Fa + Fr tan(50 deg), rounded",
    ),
]

# type, contact angle, Fr, Fa, P0.
STATIC_LOADS: Final = [
    ("angular_contact_ball", 40.0, 5e3, 8e3, 5_000.0, "ISO 76: P0 is at least Fr"),
    ("angular_contact_ball", 40.0, 0.0, 20e3, 5_200.0, "ISO 76: Y0 = 0.26"),
    ("angular_contact_ball", 30.0, 1e3, 10e3, 3_800.0, "ISO 76: X0 = 0.5, Y0 = 0.33"),
    ("deep_groove_ball", None, 5e3, 2e3, 5_000.0, "ISO 76: P0 is at least Fr"),
    ("deep_groove_ball", None, 1e3, 4e3, 2_600.0, "ISO 76: X0 = 0.6, Y0 = 0.5"),
    (
        "spherical_roller_thrust",
        None,
        10e3,
        120e3,
        147_000.0,
        "ISO 76:2006: Fa + 2.3 Fr tan(50 deg), rounded",
    ),
]

# P, C, n, L10h: ball bearings.
BASIC_LIVES: Final = [
    (5_800.0, 31_000.0, 250.0, 10_179.0, 0.001, "ISO 281:2007: (C/P)^3 10^6 / (60 n), by hand"),
    (2_000.0, 19_730.0, 1_600.0, 10_000.0, 0.002, "ISO 281:2007: (C/P)^3 10^6 / (60 n), by hand"),
    (6_080.0, 51_280.0, 1_000.0, 10_000.0, 0.001, "ISO 281:2007: (C/P)^3 10^6 / (60 n), by hand"),
]

# kappa, aISO at eC Cu / P = 0.2 of radial ball, radial roller, thrust roller.
LIFE_MODIFICATIONS: Final = [
    (0.2, 0.2237, 0.1333, 0.1219, "ISO 281:2007 eqs 31 to 42, computed apart from this code"),
    (0.4, 0.4295, 0.1773, 0.1482, "ISO 281:2007 eqs 31 to 42, computed apart from this code"),
    (0.8, 3.5525, 0.4759, 0.2865, "ISO 281:2007 eqs 31 to 42, computed apart from this code"),
    (1.0, 6.9181, 0.6505, 0.3513, "ISO 281:2007 eqs 31 to 42, computed apart from this code"),
    (2.0, 15.1127, 0.9337, 0.4432, "ISO 281:2007 eqs 31 to 42, computed apart from this code"),
    (4.0, 33.2847, 1.3350, 0.5562, "ISO 281:2007 eqs 31 to 42, computed apart from this code"),
]

# x, kappa, aISO read by hand from a chart for radial ball bearings (good to some 15 %).
LIFE_CHART: Final = [
    (0.1, 4.0, 7.0, "common practice, no source: read off a chart by hand"),
    (0.1, 2.0, 4.5, "common practice, no source: read off a chart by hand"),
    (0.2, 2.0, 16.0, "common practice, no source: read off a chart by hand"),
    (0.05, 4.0, 2.5, "common practice, no source: read off a chart by hand"),
    (0.02, 4.0, 0.95, "common practice, no source: read off a chart by hand"),
]

# balls, ball, pitch, angle, C, C0 or None.
GEOMETRY_RATINGS: Final = [
    (
        9,
        12.7,
        65.0,
        0.0,
        32_710.0,
        None,
        "Harris, Rolling Bearing Analysis, 209 example (from memory, unverified)",
    ),
    (
        16,
        22.225,
        125.26,
        40.0,
        106_549.0,
        93_729.0,
        "Harris, Rolling Bearing Analysis, 218 geometry (from memory, unverified); C by hand",
    ),
    (14, 28.0, 150.0, 40.0, 143_036.0, None, "by hand from ISO 281"),
]

# bearings down, bearings up, thrust that frees the upper side over the preload of a pair.
UNLOADING: Final = [
    (1, 1, 2.83, "derived from point contact, F = K d^1.5: 2^1.5"),
    (2, 1, 5.66, "derived from point contact, F = K d^1.5"),
    (1, 2, 2.83, "derived from point contact, F = K d^1.5"),
    (2, 2, 5.66, "derived from point contact, F = K d^1.5"),
    (3, 1, 8.49, "derived from point contact, F = K d^1.5"),
    (1, 3, 2.83, "derived from point contact, F = K d^1.5"),
]

# stand-out difference over the even approach, share of the one that stands out.
TANDEM_SHARES: Final = [
    (0.1, 0.5375, "solved in load space, apart from this code"),
    (0.2, 0.5749, "solved in load space, apart from this code"),
    (0.5, 0.6855, "solved in load space, apart from this code"),
]

# faces from the top, relations, refs down, refs up.
ARRANGEMENTS: Final = [
    ("d", (), ("1",), (), "geometry of the rings"),
    ("du", ("DB",), ("1",), ("2",), "common practice, no source: back to back"),
    ("ud", ("DF",), ("2",), ("1",), "common practice, no source: face to face"),
    ("dd", ("DT",), ("1", "2"), (), "common practice, no source: tandem"),
    ("ddu", ("DT", "DB"), ("1", "2"), ("3",), "common practice, no source"),
    ("udd", ("DF", "DT"), ("2", "3"), ("1",), "common practice, no source"),
    ("duu", ("DB", "DT"), ("1",), ("2", "3"), "common practice, no source"),
    ("uud", ("DT", "DF"), ("3",), ("1", "2"), "common practice, no source"),
    ("ddd", ("DT", "DT"), ("1", "2", "3"), (), "common practice, no source"),
    ("dduu", ("DT", "DB", "DT"), ("1", "2"), ("3", "4"), "common practice, no source"),
    ("uudd", ("DT", "DF", "DT"), ("3", "4"), ("1", "2"), "common practice, no source"),
    ("dddu", ("DT", "DT", "DB"), ("1", "2", "3"), ("4",), "common practice, no source"),
    ("uddd", ("DF", "DT", "DT"), ("2", "3", "4"), ("1",), "common practice, no source"),
    ("dud", ("DB", "DF"), ("1", "3"), ("2",), "not a matched set"),
]

# Spherical roller thrust, series 294, bore 150 mm, in a motor of so many rpm: limiting speed, motor speed, verdict.
SAME_SIZE_OTHER_INSIDE: Final = [
    (1_350.0, 1_800.0, "stop", "printed for the standard inside; common practice, no source"),
    (1_990.0, 1_800.0, "pass", "printed for the high-capacity inside; common practice, no source"),
    (950.0, 1_800.0, "stop", "printed in another book; common practice, no source"),
    (1_990.0, 1_950.0, "warn", "printed for the high-capacity inside; common practice, no source"),
]
