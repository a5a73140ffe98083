"""Hertz contact against scipy's elliptic integrals, a closed form and a textbook's table."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from bearings.engineering.hertz import ball_contacts, ellipse_of, elliptic_integrals, point_contact
from bearings.engineering.tables.ratings import F0_BALL


@given(st.floats(0, 1, exclude_max=True))
def test_elliptic_integrals_are_those_of_scipy(m):
    k, e = elliptic_integrals(m)

    assert k == pytest.approx(ellipk(m), rel=1e-13)
    assert e == pytest.approx(ellipe(m), rel=1e-13)


@pytest.mark.parametrize("m", [1.0, 1.5, -0.1])
def test_elliptic_integrals_are_refused_outside_their_range(m):
    with pytest.raises(ValueError, match="outside 0 to below 1"):
        elliptic_integrals(m)


def scipy_ellipse(difference):
    """Axis ratio, a*, b*, delta* by root search on scipy's integrals (Harris's form of Hertz's solution)."""

    def found(ratio):
        m = 1 - 1 / ratio**2
        return ((ratio**2 + 1) * ellipe(m) - 2 * ellipk(m)) / ((ratio**2 - 1) * ellipe(m)) - difference

    ratio = brentq(found, 1 + 1e-9, 1e6, xtol=1e-13, rtol=1e-14)
    m = 1 - 1 / ratio**2
    a = (2 * ratio**2 * ellipe(m) / pi) ** (1 / 3)
    b = (2 * ellipe(m) / (pi * ratio)) ** (1 / 3)
    return ratio, a, b, 2 * ellipk(m) / pi * (pi / (2 * ratio**2 * ellipe(m))) ** (1 / 3)


@given(st.floats(0.01, 0.999))
def test_the_contact_ellipse_is_that_of_a_root_search_by_scipy(difference):
    assert ellipse_of(difference) == pytest.approx(scipy_ellipse(difference), rel=1e-8)


def test_the_approach_of_a_textbook_table():
    # Harris, Rolling Bearing Analysis, table of F(rho) (from memory, unverified): F(rho) = 0.940 gives
    # delta* = 0.602; the integrals give 0.6031.
    assert ellipse_of(0.940).approach_star == pytest.approx(0.602, abs=0.002)


def test_a_ball_on_a_flat_is_the_closed_form():
    # Sphere of 10 mm on a flat, 100 N, E = 206 GPa, nu = 0.3: a = (3 F R / 4 E*)^(1/3) (Hertz's closed form).
    contact = point_contact((0.1, 0.1), (0.0, 0.0), 206_000.0, 0.3)
    effective = 206_000.0 / (2 * (1 - 0.3**2))
    a = (3 * 100.0 * 10.0 / (4 * effective)) ** (1 / 3)

    assert contact.half_axes_mm(100.0) == pytest.approx((a, a))
    assert contact.greatest_pressure(100.0) == pytest.approx(3 * 100.0 / (2 * pi * a * a))
    assert contact.greatest_pressure(100.0) == pytest.approx(1353.4, abs=0.1)
    assert contact.approach_mm(100.0) == pytest.approx(a * a / 10.0)


def test_a_deep_groove_ball_against_another_implementation():
    # 6205, ball 7.938 mm, pitch 38.5 mm (usual geometry), grooves 0.52, 500 N, E = 206 GPa: half axes and pressure
    # by an elliptic contact with scipy's integrals, computed apart from this code; ball and pitch are nominal.
    ball, gamma = 7.938, 7.938 / 38.5
    curved = (2 / ball, 2 / ball)
    inner = point_contact(curved, (-1 / (0.52 * ball), 2 * gamma / (ball * (1 - gamma))), 206_000.0)
    outer = point_contact(curved, (-1 / (0.52 * ball), -2 * gamma / (ball * (1 + gamma))), 206_000.0)

    assert inner.half_axes_mm(500.0) == pytest.approx((1.048, 0.1122), rel=0.01)
    assert inner.greatest_pressure(500.0) == pytest.approx(2032.0, rel=0.01)
    assert inner.approach_mm(500.0) == pytest.approx(7.305e-3, rel=0.01)
    assert outer.half_axes_mm(500.0) == pytest.approx((1.015, 0.1397), rel=0.01)
    assert outer.greatest_pressure(500.0) == pytest.approx(1685.0, rel=0.01)
    assert outer.approach_mm(500.0) == pytest.approx(7.028e-3, rel=0.01)


@pytest.mark.parametrize("row", range(len(F0_BALL)))
def test_the_static_rating_of_iso_76_is_a_pressure_of_4200(row):
    # ISO 76: C0 of a ball bearing is the load at which its most loaded ball, 5 C0 / (Z cos(alpha)), presses with
    # 4 200 N/mm2 at the worse ring, grooves 0.52 and 0.53; so 5 f0 Dw^2 on a ball, f0 from the standard's table.
    ball = 20.0
    contacts = ball_contacts(ball, row / 100, 0.52, 0.53)
    load = 5 * F0_BALL[row] * ball**2

    worse = max(contacts.inner.greatest_pressure(load), contacts.outer.greatest_pressure(load))
    assert worse == pytest.approx(4_200.0, rel=0.005)


@given(st.floats(3, 80), st.floats(0.02, 0.35), st.floats(0.505, 0.6), st.floats(0.505, 0.6))
def test_a_ball_is_softer_between_two_grooves_than_on_either(ball, gamma, inner, outer):
    found = ball_contacts(ball, gamma, inner, outer)

    assert 0 < found.stiffness < min(found.inner.stiffness, found.outer.stiffness)
    force = 1_000.0
    approach = (force / found.stiffness) ** (2 / 3)
    assert found.inner.approach_mm(force) + found.outer.approach_mm(force) == pytest.approx(
        approach, rel=1e-9
    )


@given(st.floats(1.0, 1e5), st.floats(1.01, 3.0))
def test_more_load_means_a_greater_ellipse_and_more_pressure(force, growth):
    contact = ball_contacts(34.925, 0.17, 0.52, 0.53).inner

    assert contact.half_axes_mm(force * growth)[0] > contact.half_axes_mm(force)[0]
    assert contact.greatest_pressure(force * growth) == pytest.approx(
        contact.greatest_pressure(force) * growth ** (1 / 3)
    )


def test_bodies_that_embrace_each_other_are_refused():
    with pytest.raises(ValueError, match="do not touch"):
        point_contact((0.1, 0.1), (-0.2, -0.2))
