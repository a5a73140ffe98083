"""Friction and thermal factors by type and dimension series.

All of these are from memory, unverified, unless a line says otherwise; a bearing's own f0r, f1r, f0, f1
and reference surface replace them.
"""

from __future__ import annotations

from typing import Final

REFERENCE_SOURCE: Final = "ISO 15312 (factors from memory, unverified)"
FRICTION_SOURCE: Final = "Palmgren, Ball and Roller Bearing Engineering (factors from memory, unverified)"

# ISO 15312 Annex A: (type, dimension series) -> (f0r, f1r). Angular contact rows hold above 22 degrees.
REFERENCE_FACTORS: Final[dict[tuple[str, str], tuple[float, float]]] = {
    ("deep_groove_ball", "18"): (1.7, 0.00010),
    ("deep_groove_ball", "19"): (1.7, 0.00015),
    ("deep_groove_ball", "00"): (1.7, 0.00015),
    ("deep_groove_ball", "10"): (1.7, 0.00015),
    ("deep_groove_ball", "02"): (2.0, 0.00020),
    ("deep_groove_ball", "03"): (2.3, 0.00020),
    ("deep_groove_ball", "04"): (2.3, 0.00020),
    ("angular_contact_ball", "02"): (2.0, 0.00025),
    ("angular_contact_ball", "03"): (3.0, 0.00035),
    ("cylindrical_roller", "10"): (2.0, 0.00020),
    ("cylindrical_roller", "02"): (2.0, 0.00030),
    ("cylindrical_roller", "22"): (3.0, 0.00040),
    ("cylindrical_roller", "03"): (2.0, 0.00035),
    ("cylindrical_roller", "23"): (4.0, 0.00040),
    ("cylindrical_roller", "04"): (2.0, 0.00040),
    ("spherical_roller_thrust", "92"): (3.7, 0.00030),
    ("spherical_roller_thrust", "93"): (4.5, 0.00040),
    ("spherical_roller_thrust", "94"): (5.0, 0.00050),
}
REFERENCE_ANGLE_DEG: Final = 22.0

# How a designation's leading digits name the dimension series (ISO 15, ISO 104; trade usage).
SERIES_PREFIXES: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "deep_groove_ball": (
        ("618", "18"), ("619", "19"), ("160", "00"), ("60", "10"), ("62", "02"), ("63", "03"), ("64", "04"),
    ),
    "angular_contact_ball": (("72", "02"), ("73", "03")),
    "spherical_roller_thrust": (("292", "92"), ("293", "93"), ("294", "94")),
    "cylindrical_roller": (("10", "10"), ("22", "22"), ("23", "23"), ("2", "02"), ("3", "03"), ("4", "04")),
}  # fmt: skip

# Reference conditions: viscosity at 70 degC in mm2/s, load as a share of C0, heat flow in W/mm2, its exponent
# above 50 000 mm2 (ISO 15312:2018, from memory, unverified).
REFERENCE_RADIAL: Final = (12.0, 0.05, 0.016, -0.34)
REFERENCE_THRUST: Final = (24.0, 0.02, 0.020, -0.16)
REFERENCE_SURFACE_MM2: Final = 50_000.0

REFERENCE_RISE_K: Final = 50.0
COOLING_SOURCE: Final = (
    "DIN 732 (heat balance from memory, unverified); heat flow of ISO 15312 (from memory, unverified)"
)
# Density times specific heat of mineral oil: 890 kg/m3 x 1930 J/(kg K), so 28.6 W take 1 K out of 1 l/min
# (from memory, unverified).
OIL_HEAT_W_PER_L_MIN_K: Final = 890.0 * 1930.0 / 60_000.0
# Palmgren's friction is known within a quarter at best (common practice, no source).
FRICTION_UNCERTAINTY: Final = 0.25
# f0 of one-row angular contact bearings in a horizontal bath, above that of their series (Harris, Rolling Bearing
# Analysis; from memory, unverified).
TEXTBOOK_ANGULAR_F0: Final = 3.3

# f0 of a horizontal shaft in an oil bath; a vertical shaft or an oil jet doubles it (spherical roller thrust
# bearings; common practice, no source). A range is given by its upper end, which loses more.
BATH_F0: Final[dict[str, float]] = {
    "deep_groove_ball": 2.0,
    "angular_contact_ball": TEXTBOOK_ANGULAR_F0,
    "spherical_roller_thrust": 5.0,
    "cylindrical_roller": 4.0,
}
BATH_F0_BY_SERIES: Final[dict[tuple[str, str], float]] = {
    ("angular_contact_ball", "02"): 2.0,
    ("angular_contact_ball", "03"): 3.0,
    ("spherical_roller_thrust", "92"): 3.0,
    ("spherical_roller_thrust", "93"): 3.5,
    ("spherical_roller_thrust", "94"): 4.0,
}
# Cylindrical roller bearings: the upper end already is the jet value and is not doubled.
NOT_DOUBLED: Final[frozenset[str]] = frozenset({"cylindrical_roller"})
GREASE_F0: Final[dict[str, float]] = {
    "deep_groove_ball": 2.0,
    "angular_contact_ball": 2.0,
    "cylindrical_roller": 1.0,
}

# f1 = z (P0 / C0)^y of ball bearings; of roller bearings a constant, upper end of the range.
GROOVE_Z: Final = 0.0006
GROOVE_EXPONENT: Final = 0.55
ANGULAR_Z_ANGLES_DEG: Final = (30.0, 40.0)
ANGULAR_Z: Final = (0.001, 0.0013)
ANGULAR_EXPONENT: Final = 0.33
ROLLER_F1: Final[dict[str, float]] = {"spherical_roller_thrust": 0.0005, "cylindrical_roller": 0.0004}
