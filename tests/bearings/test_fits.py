"""Fits against published limits and worked figures."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bearings.engineering.fits import (
    FitError,
    FitRange,
    bearing_limits,
    fit_range,
    grade_um,
    known_zones,
    ring_limits,
    washer_limits,
    zone_limits,
)

# tightest (interference positive), loosest; arithmetic on ISO 286-2 and ISO 492 limits
SHAFT_FITS = [
    ("k5", 100, 38, 3, "ISO 286-2 k5 3..18 over ISO 492 Normal bore 0..-20"),
    ("j5", 50, 18, -5, "ISO 286-2 and ISO 492 Normal, by hand: 18 tight, 5 loose"),
    ("j6", 100, 33, -9, "ISO 286-2 and ISO 492 Normal, by hand: 33 tight, 9 loose"),
]


@pytest.mark.parametrize(("zone", "size", "tightest", "loosest", "source"), SHAFT_FITS)
def test_shaft_fits_are_those_of_the_published_tables(zone, size, tightest, loosest, source):
    assert source
    found = fit_range(outer=bearing_limits("bore", Decimal(size)), inner=zone_limits(zone, Decimal(size)))
    assert found == FitRange(tightest_um=Decimal(tightest), loosest_um=Decimal(loosest))


def test_a_housing_h6_of_180_leaves_nothing_to_fifty_micrometres():
    # arithmetic: ISO 286-2 H6 0..+25, ISO 492 Normal outside diameter 0..-25
    found = fit_range(outer=zone_limits("H6", Decimal(180)), inner=bearing_limits("od", Decimal(180)))
    assert (found.tightest_um, found.loosest_um) == (Decimal(0), Decimal(-50))


def test_a_thrust_washer_160_on_k6_is_tight_by_3_to_53():
    # arithmetic: ISO 286-2 k6 3..28, ISO 199 bore 0..-25
    found = fit_range(outer=washer_limits("bore", Decimal(160)), inner=zone_limits("k6", Decimal(160)))
    assert (found.tightest_um, found.loosest_um) == (Decimal(53), Decimal(3))


@pytest.mark.parametrize("zone", known_zones())
def test_every_zone_is_as_wide_as_its_grade_at_every_step(zone):
    """ISO 286-1: upper minus lower is the tolerance grade of the zone's number."""
    for size in (
        Decimal(8),
        Decimal(18),
        Decimal(19),
        Decimal(50),
        Decimal("50.1"),
        Decimal(120),
        Decimal(315),
        Decimal(500),
    ):
        limits = zone_limits(zone, size)
        # JS7 and js7 to js11 are rounded to whole micrometres in the standard; ours are exact halves.
        assert limits.upper_um - limits.lower_um == grade_um(f"IT{zone[-1]}", size)


def test_a_size_at_the_end_of_a_step_belongs_to_that_step():
    assert zone_limits("k5", Decimal(120)) == zone_limits("k5", Decimal(81))
    assert zone_limits("k5", Decimal("120.001")) != zone_limits("k5", Decimal(120))


@pytest.mark.parametrize(
    ("zone", "size", "field"), [("k9", 100, "zone"), ("k5", 6, "nominal_mm"), ("k5", 501, "nominal_mm")]
)
def test_what_the_tables_do_not_hold_is_refused_by_name(zone, size, field):
    with pytest.raises(FitError, match=field):
        zone_limits(zone, Decimal(size))


def test_a_thrust_washer_takes_its_limits_from_iso_199_and_a_radial_ring_from_iso_492():
    # ISO 199 outside diameter over 80 to 120: 0..-22; ISO 492 class P5 in the same step: 0..-10
    washer = ring_limits("spherical_roller_thrust", "od", Decimal(110), tolerance_class="P5")
    radial = ring_limits("angular_contact_ball", "od", Decimal(110), tolerance_class="P5")
    assert (washer.lower_um, radial.lower_um) == (Decimal(-22), Decimal(-10))


@pytest.mark.parametrize("kind", ["spherical_roller_thrust", "angular_contact_ball"])
def test_a_tolerance_class_that_is_not_known_is_refused_and_never_taken_as_normal(kind):
    with pytest.raises(FitError, match="tolerance_class"):
        ring_limits(kind, "bore", Decimal(100), tolerance_class="")
