import pytest

from bearings.engineering.geometry import ball_dynamic_rating, ball_static_rating, dynamic_factor
from bearings.engineering.quantities import Bearing
from bearings.engineering.rating import (
    angular_contact_factors,
    basic_life_h,
    equivalent_load,
    equivalent_static_load,
    fatigue_load_limit,
    life_modification,
    system_life,
)
from tests.bearings.factories import angular, thrust_roller
from tests.reference.bearing_cases import (
    BASIC_LIVES,
    EQUIVALENT_LOADS,
    GEOMETRY_RATINGS,
    LIFE_CHART,
    LIFE_MODIFICATIONS,
    STATIC_LOADS,
)


def bearing(kind, angle, static_rating=None):
    return Bearing(
        type=kind,
        wide_face=None if kind == "deep_groove_ball" else "down",
        contact_angle_deg=angle,
        static_rating_n=static_rating,
    )


@pytest.mark.parametrize(
    ("kind", "angle", "radial", "axial", "rating", "expected", "within", "source"), EQUIVALENT_LOADS
)
def test_equivalent_loads_match_published_ones(kind, angle, radial, axial, rating, expected, within, source):
    assert equivalent_load(bearing(kind, angle, rating), axial, radial) == pytest.approx(
        expected, rel=within
    ), source


@pytest.mark.parametrize(("kind", "angle", "radial", "axial", "expected", "source"), STATIC_LOADS)
def test_static_loads_match_published_ones(kind, angle, radial, axial, expected, source):
    assert equivalent_static_load(bearing(kind, angle), axial, radial) == pytest.approx(expected), source


@pytest.mark.parametrize(("load", "rating", "speed", "expected", "within", "source"), BASIC_LIVES)
def test_basic_lives_match_published_ones(load, rating, speed, expected, within, source):
    one = angular(dynamic_rating_n=rating)

    assert basic_life_h(one, load, speed) == pytest.approx(expected, rel=within), source


def test_fifteen_degrees_reads_factors_at_the_relative_load():
    # ISO 281 Table 3 between relative loads 1.43 and 2.14.
    assert angular_contact_factors(15.0, 1.636) == pytest.approx((0.44, 1.170, 0.479), abs=1e-3)


def test_angles_between_fifteen_and_twenty_degrees_lie_between_their_rows():
    at_15, at_20 = angular_contact_factors(15.0, 1.0), angular_contact_factors(20.0, 1.0)

    assert angular_contact_factors(17.5, 1.0) == pytest.approx(
        [(a + b) / 2 for a, b in zip(at_15, at_20, strict=True)]
    )


def test_below_twenty_degrees_an_unknown_static_rating_leaves_the_load_unknown():
    assert equivalent_load(bearing("angular_contact_ball", 15.0), 1_000.0, 0.0) is None


@pytest.mark.parametrize(("kappa", "ball", "roller", "thrust_roller", "source"), LIFE_MODIFICATIONS)
def test_life_modification_follows_the_equations(kappa, ball, roller, thrust_roller, source):
    found = [
        life_modification(roller=is_roller, thrust=thrust, kappa=kappa, relative=0.2)
        for is_roller, thrust in ((False, False), (True, False), (True, True))
    ]

    assert found == pytest.approx([ball, roller, thrust_roller], abs=6e-5), source


@pytest.mark.parametrize(("x", "kappa", "read", "source"), LIFE_CHART)
def test_life_modification_agrees_with_a_chart_read_by_hand(x, kappa, read, source):
    found = life_modification(roller=False, thrust=False, kappa=kappa, relative=x)

    assert found == pytest.approx(read, rel=0.15), source


def test_life_modification_keeps_its_bounds():
    # ISO 281:2007: no value below kappa 0.1, 4 counts for more than 4, never above 50, 0.1 without cleanliness.
    def ball(kappa, relative):
        return life_modification(roller=False, thrust=False, kappa=kappa, relative=relative)

    assert ball(0.099, 0.2) is None
    assert ball(9.0, 0.2) == ball(4.0, 0.2)
    assert ball(4.0, 5.0) == 50.0
    assert ball(2.0, 0.0) == pytest.approx(0.1)


def test_fatigue_load_limit_is_estimated_from_the_static_rating():
    # ISO 281:2007 Annex B, simplified: C0/22 and C0/8.2, less above 100 mm.
    ball = Bearing(
        type="angular_contact_ball", wide_face="down", static_rating_n=93_729.0, pitch_diameter_mm=125.26
    )
    roller = Bearing(
        type="spherical_roller_thrust", wide_face="down", static_rating_n=2.5e6, pitch_diameter_mm=200.0
    )

    assert fatigue_load_limit(ball) == pytest.approx(3_807.0, rel=1e-3)
    assert fatigue_load_limit(roller) == pytest.approx(247_600.0, rel=1e-3)


def test_tandem_rule_and_series_system_are_the_same():
    # (N^0.7 / N)^3 = N^-0.9 = N^(-1/e) with e = 10/9: ISO 281 5.1.2 against ISO/TR 1281-1.
    single = basic_life_h(angular(), 10_000.0, 1_800.0)
    tandem = basic_life_h(angular(dynamic_rating_n=216_000.0 * 2**0.7), 20_000.0, 1_800.0)

    assert system_life([single, single], all_rollers=False) == pytest.approx(tandem, rel=1e-12)


def test_system_life_of_two_different_lives():
    # ISO/TR 1281-1: 40 000 h and 100 000 h.
    assert system_life([40_000.0, 100_000.0], all_rollers=False) == pytest.approx(30_305.0, abs=1.0)
    assert system_life([40_000.0, 100_000.0], all_rollers=True) == pytest.approx(30_500.0, abs=1.0)


def test_roller_bearings_have_the_exponent_ten_thirds():
    one = thrust_roller(dynamic_rating_n=1_000_000.0)

    assert basic_life_h(one, 132_000.0, 1_200.0) == pytest.approx(11_860.0, rel=1e-3)


@pytest.mark.parametrize(("balls", "ball", "pitch", "angle", "dynamic", "static", "source"), GEOMETRY_RATINGS)
def test_ratings_from_geometry_match_published_ones(balls, ball, pitch, angle, dynamic, static, source):
    values = {"balls": balls, "ball_mm": ball, "pitch_mm": pitch, "angle_deg": angle}

    assert ball_dynamic_rating(**values) == pytest.approx(dynamic, rel=1e-3), source
    if static is not None:
        assert ball_static_rating(**values) == pytest.approx(static, rel=1e-3), source


def test_dynamic_factor_table_follows_the_closed_form_behind_it():
    # ISO/TR 1281-1 with ri = re = 0.52 Dw.
    for place in range(1, 41):
        g = place / 100
        group = g**0.3 * (1 - g) ** 1.39 / (1 + g) ** (1 / 3)
        ring = (1 + (1.04 * ((1 - g) / (1 + g)) ** 1.72) ** (10 / 3)) ** -0.3
        expected = 0.41 * 98.0665 * 0.95 * ring * group * (1.04 / 0.04) ** 0.41

        assert dynamic_factor(g) == pytest.approx(expected, abs=0.06)


def test_geometry_outside_the_tables_is_refused():
    with pytest.raises(ValueError, match="outside the table"):
        ball_dynamic_rating(balls=3, ball_mm=50.0, pitch_mm=100.0, angle_deg=0.0)
