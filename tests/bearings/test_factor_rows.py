"""Every row of the factor tables, as the rules give it, against a second transcription with its sources."""

from __future__ import annotations

from math import cos, pi, radians

import pytest

from bearings.engineering.geometry import ball_static_rating
from bearings.engineering.lubrication import cleanliness_factor, contamination_factor, grade_viscosity
from bearings.engineering.quantities import Bearing, Lubrication
from bearings.engineering.rating import (
    angular_contact_factors,
    deep_groove_factors,
    equivalent_load,
    equivalent_static_load,
    fatigue_load_limit,
    life_modification,
    reliability_factor,
    static_factor_f0,
)
from bearings.engineering.tables import friction, life_factors
from bearings.engineering.tables.contamination import CLEANLINESS
from bearings.engineering.thermal import (
    default_f0,
    default_f1,
    dimension_series,
    reference_heat_flow,
    reference_speed,
)
from tests.reference import factor_rows as printed


def bearing(kind: str, designation: str | None = None, **values) -> Bearing:
    faceless = {"deep_groove_ball", "cylindrical_roller"}
    usual = {"pitch_diameter_mm": 120.0, "static_rating_n": 200_000.0}
    if kind == "angular_contact_ball":
        usual["contact_angle_deg"] = 40.0
    face = None if kind in faceless else "down"
    return Bearing(type=kind, wide_face=face, designation=designation, **(usual | values))


@pytest.mark.parametrize(("kind", "series", "name", "f0r", "f1r"), printed.REFERENCE_SPEED_FACTORS)
def test_the_reference_speed_is_that_of_the_annexs_row(kind, series, name, f0r, f1r):
    surface = {"reference_surface_mm2": 40_000.0}
    by_row, by_hand = bearing(kind, name, **surface), bearing(kind, None, f0r=f0r, f1r=f1r, **surface)
    assert dimension_series(by_row) == series
    assert reference_speed(by_row) == pytest.approx(reference_speed(by_hand), rel=1e-12)
    assert friction.REFERENCE_FACTORS[kind, series] == (f0r, f1r)


def test_the_rows_of_the_annex_are_these_and_hold_above_22_degrees():
    assert set(friction.REFERENCE_FACTORS) == {
        (kind, series) for kind, series, *_ in printed.REFERENCE_SPEED_FACTORS
    }
    surface = {"reference_surface_mm2": 40_000.0}
    flat = bearing("angular_contact_ball", "7320", contact_angle_deg=22.0, **surface)
    steep = bearing("angular_contact_ball", "7320", contact_angle_deg=22.5, **surface)
    assert reference_speed(flat) is None
    assert reference_speed(steep) is not None


@pytest.mark.parametrize(("name", "kind", "bath", "vertical", "grease"), printed.OIL_FACTORS)
def test_the_factor_of_the_oil_follows_type_series_and_shaft(name, kind, bath, vertical, grease):
    one = bearing(kind, name)
    assert default_f0(one, "oil_bath", "horizontal") == bath
    assert default_f0(one, "oil_bath", "vertical") == vertical
    assert default_f0(one, "oil_jet", "horizontal") == vertical
    assert default_f0(one, "grease", "vertical") == grease
    assert default_f0(one, None, "vertical") is None


# Palmgren, f1 = z (P0 / C0)^y: deep groove 0.0006 and 0.55; angular contact 0.001 at 30 and 0.0013 at 40 degrees, 0.33
# (textbook, from memory, unverified). Rollers: the annex's row, else the upper end 0.0005 and 0.0004.
@pytest.mark.parametrize(
    ("one", "expected"),
    [
        # P0 = 0.5 Fa of a deep groove, Y0 Fa of an angular contact bearing (ISO 76:2006).
        (bearing("deep_groove_ball", "6318"), 0.0006 * (0.5 * 40_000 / 200_000) ** 0.55),
        (
            bearing("angular_contact_ball", contact_angle_deg=30.0),
            0.001 * (0.33 * 40_000 / 200_000) ** 0.33,
        ),
        (
            bearing("angular_contact_ball", contact_angle_deg=40.0),
            0.0013 * (0.26 * 40_000 / 200_000) ** 0.33,
        ),
        (bearing("spherical_roller_thrust", "A 30"), 0.0005),
        (bearing("spherical_roller_thrust", "29230"), 0.0003),
        (bearing("cylindrical_roller", "A 18"), 0.0004),
        (bearing("cylindrical_roller", "NU1018"), 0.0002),
    ],
)
def test_the_factor_of_the_load_follows_palmgren(one, expected):
    assert default_f1(one, 40_000.0, 0.0) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "surface", "expected"),
    [
        # ISO 15312 as handbooks restate it: 0.016 radial, 0.020 thrust up to 50 000 mm2, less above.
        ("deep_groove_ball", 50_000.0, 0.016),
        ("deep_groove_ball", 100_000.0, 0.016 * 2**-0.34),
        ("spherical_roller_thrust", 50_000.0, 0.020),
        ("spherical_roller_thrust", 100_000.0, 0.020 * 2**-0.16),
    ],
)
def test_the_heat_that_a_seat_passes_on(kind, surface, expected):
    assert reference_heat_flow(bearing(kind), surface) == pytest.approx(expected, rel=1e-12)


def test_the_conditions_of_the_reference_speed():
    # ISO 15312 as published texts restate it: radial 12 mm2/s and 5 % of C0, thrust 24 mm2/s and 2 %.
    for kind, viscosity, share, flow in (
        ("deep_groove_ball", 12.0, 0.05, 0.016),
        ("spherical_roller_thrust", 24.0, 0.02, 0.020),
    ):
        one = bearing(kind, reference_surface_mm2=30_000.0, f0r=2.0, f1r=3e-4)
        speed = reference_speed(one)
        torque = 1e-7 * 2.0 * (viscosity * speed) ** (2 / 3) * 120.0**3 + 3e-4 * share * 200_000.0 * 120.0
        assert torque * speed * pi / 30_000 == pytest.approx(flow * 30_000.0, rel=1e-9)


def test_the_remaining_constants_of_the_heat_balance():
    # ISO 15312: 70 degC in air of 20 degC. Mineral oil: 890 kg/m3, 1.93 kJ/(kg K) (from memory, unverified), so that a
    # litre a minute takes 28.6 W with it for each kelvin. A quarter of doubt: common practice, no source.
    assert friction.REFERENCE_RISE_K == 50.0
    assert pytest.approx(0.890 / 60 * 1_930.0, rel=1e-12) == friction.OIL_HEAT_W_PER_L_MIN_K
    assert pytest.approx(28.6, abs=0.05) == friction.OIL_HEAT_W_PER_L_MIN_K
    assert friction.FRICTION_UNCERTAINTY == 0.25


@pytest.mark.parametrize(("level", "small", "large"), printed.CLEANLINESS_LEVELS)
def test_every_level_of_cleanliness(level, small, large):
    oil = Lubrication(contamination=level)
    assert contamination_factor(oil, 99.99) == small
    assert contamination_factor(oil, 100.0) == large
    assert contamination_factor(oil, None) == (small if small == large else None)


@pytest.mark.parametrize(("system", "k", "b", "twice"), printed.ANNEX_A)
def test_every_row_of_annex_a(system, k, b, twice):
    oil = Lubrication(cleanliness=system)
    for pitch, kappa in ((150.0, 0.5), (400.0, 0.3)):
        film = min(1.0, k * kappa**0.68 * pitch**0.55)
        assert cleanliness_factor(oil, pitch, kappa) == pytest.approx(
            max(0.0, film * (1 - b / pitch ** (1 / 3))), rel=1e-12
        )
    assert CLEANLINESS[system][2] is twice


def test_annex_a_and_the_levels_have_no_other_rows():
    assert set(CLEANLINESS) == {row[0] for row in printed.ANNEX_A}
    assert set(life_factors.CONTAMINATION) == {row[0] for row in printed.CLEANLINESS_LEVELS}


@pytest.mark.parametrize(("first", "below", "ball_a", "roller_b", "q"), printed.LIFE_EQUATIONS)
def test_every_row_of_the_life_modification(first, below, ball_a, roller_b, q):
    # ISO 281:2007: balls 0.1 (1 - (2.5671 - A/kappa^q)^0.83 x^(1/3))^-9.3, rollers 0.1 (1 - (1.5859 - B/kappa^q)
    # x^0.4)^-9.185; thrust rollers with x / 2.5 (from memory, unverified).
    x = 0.02
    for kappa in (first, (first + below) / 2, below - 1e-9):
        ball = 0.1 * (1 - (2.5671 - ball_a / kappa**q) ** 0.83 * x ** (1 / 3)) ** -9.3
        rollers = [
            0.1 * (1 - (1.5859 - roller_b / kappa**q) * share**0.4) ** -9.185 for share in (x, x / 2.5)
        ]
        found = [
            life_modification(roller=roller, thrust=thrust, kappa=kappa, relative=x)
            for roller, thrust in ((False, False), (True, False), (True, True))
        ]
        assert found == pytest.approx([ball, *rollers], rel=1e-9)


def test_the_bounds_of_the_life_modification():
    # ISO 281:2007: from kappa 0.1, as at kappa 4 beyond it, aISO at most 50; eC Cu / P counts up to 5 (from memory).
    def at(kappa, relative, **kind):
        return life_modification(
            kappa=kappa, relative=relative, **({"roller": False, "thrust": False} | kind)
        )

    assert at(0.1, 0.02) is not None
    assert at(0.0999, 0.02) is None
    assert at(4.0, 0.02) == at(40.0, 0.02) > at(3.99, 0.02)
    assert at(4.0, 4.0) == 50.0
    # Very thin films keep aISO of rollers low enough that the limit of 5 tells.
    thin = {"roller": True, "thrust": True}
    assert at(0.2, 5.0, **thin) == at(0.2, 50.0, **thin) > at(0.2, 4.9, **thin)


@pytest.mark.parametrize(
    ("kind", "pitch", "expected"),
    [
        # ISO 281:2007 B.18 to B.21, simplified: C0 / 22 and C0 / 8.2; above 100 mm with (100 / Dpw)^0.5 and ^0.3.
        ("angular_contact_ball", 100.0, 200_000 / 22),
        ("angular_contact_ball", 200.0, 200_000 / 22 * 0.5**0.5),
        ("cylindrical_roller", 100.0, 200_000 / 8.2),
        ("spherical_roller_thrust", 200.0, 200_000 / 8.2 * 0.5**0.3),
    ],
)
def test_the_fatigue_limit_from_the_static_rating(kind, pitch, expected):
    assert fatigue_load_limit(bearing(kind, pitch_diameter_mm=pitch)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("percent", "a1"),
    [(90, 1.0), (95, 0.64), (96, 0.55), (97, 0.47), (98, 0.37), (99, 0.25), (99.5, 0.175), (99.9, 0.093)],
)
def test_every_row_of_the_reliability(percent, a1):
    # ISO 281:2007 Table 12; the law behind it gives the rows within 0.005.
    assert reliability_factor(percent) == pytest.approx(a1, abs=0.005)


@pytest.mark.parametrize(("angle", "x", "y", "e"), printed.STEEP_ANGLES)
def test_every_steep_angle(angle, x, y, e):
    assert angular_contact_factors(angle, None) == pytest.approx((x, y, e))
    # ISO 281 keeps P continuous at Fa / Fr = e: X + Y e = 1, to the rounding of the printed factors.
    assert x + y * e == pytest.approx(1.0, abs=0.011)


@pytest.mark.parametrize(("relative", "y", "e"), printed.FIFTEEN_DEGREES)
def test_every_row_of_fifteen_degrees(relative, y, e):
    assert angular_contact_factors(15.0, relative) == pytest.approx((0.44, y, e))
    assert 0.44 + y * e == pytest.approx(1.0, abs=0.011)


@pytest.mark.parametrize(("relative", "y", "e"), printed.DEEP_GROOVES)
def test_every_row_of_deep_grooves(relative, y, e):
    assert deep_groove_factors(relative) == pytest.approx((0.56, y, e))
    assert 0.56 + y * e == pytest.approx(1.0, abs=0.011)


@pytest.mark.parametrize(("angle", "y0"), printed.STATIC_ANGLES)
def test_every_static_angle(angle, y0):
    one = bearing("angular_contact_ball", contact_angle_deg=angle)
    assert equivalent_static_load(one, 100_000.0, 1_000.0) == pytest.approx(500.0 + y0 * 100_000.0)


def test_the_other_static_and_dynamic_factors():
    # ISO 76:2006, deep groove 0.6 and 0.5; spherical roller thrust Fa + 1.2 Fr and Fa + 2.7 Fr (published handbooks).
    groove, thrust = bearing("deep_groove_ball"), bearing("spherical_roller_thrust")
    assert equivalent_static_load(groove, 10_000.0, 1_000.0) == pytest.approx(5_600.0)
    assert equivalent_load(thrust, 10_000.0, 1_000.0) == pytest.approx(11_200.0)
    assert equivalent_static_load(thrust, 10_000.0, 1_000.0) == pytest.approx(12_700.0)


@pytest.mark.parametrize(("place", "f0"), list(enumerate(printed.STATIC_FACTORS)))
def test_every_row_of_the_static_factor(place, f0):
    gamma = place / 100
    ball = 100 * gamma
    inside = {"ball_diameter_mm": ball, "pitch_diameter_mm": 100.0}
    if ball:
        assert static_factor_f0(bearing("deep_groove_ball", **inside)) == pytest.approx(f0, abs=1e-9)
        rating = ball_static_rating(balls=10, ball_mm=ball, pitch_mm=100.0, angle_deg=0.0)
        assert rating == pytest.approx(f0 * 10 * ball**2, rel=1e-9)
    if 1 < place < 40:
        steep = ball / cos(radians(40.0))
        rating = ball_static_rating(balls=10, ball_mm=steep, pitch_mm=100.0, angle_deg=40.0)
        assert rating == pytest.approx(f0 * 10 * steep**2 * cos(radians(40.0)), rel=1e-6)
    if place == 0:
        # The row of no ball at all is only there to read between it and the first.
        tiny = bearing("deep_groove_ball", ball_diameter_mm=0.5, pitch_diameter_mm=100.0)
        assert static_factor_f0(tiny) == pytest.approx((f0 + 14.9) / 2)


def test_the_grades_that_are_not_named_by_their_viscosity():
    # ISO 3448, mid-points (from memory, unverified).
    assert [grade_viscosity(grade) for grade in (2.0, 3.0, 5.0, 7.0, 10.0, 68.0)] == [
        2.2,
        3.2,
        4.6,
        6.8,
        10.0,
        68.0,
    ]
