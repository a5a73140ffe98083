import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bearings.engineering.assessment import check_stack
from bearings.engineering.mismatch import carries_all_um
from bearings.engineering.sharing import compliance
from tests.bearings.factories import angular, duty, faces, stack
from tests.reference.bearing_cases import TANDEM_SHARES


def rows(*items, **values):
    return check_stack(stack(*items, motor=duty(rotor_weight_n=0.0, **values))).sharing.mismatch


def codes(*items, **values):
    found = check_stack(stack(*items, motor=duty(rotor_weight_n=0.0, **values))).findings
    return {one.code: one.severity for one in found}


@pytest.mark.parametrize(("mismatch", "share", "source"), TANDEM_SHARES)
def test_the_heavier_share_of_a_tandem(mismatch, share, source):
    even_um = compliance(angular()) * 30_000.0 ** (2 / 3) * 1000
    (row,) = rows(angular(stand_out_um=mismatch * even_um), angular(stand_out_um=0.0), down_thrust_n=60_000.0)

    assert row.heavier_share == pytest.approx(share, abs=2e-4), source
    assert row.load_n == pytest.approx(60_000.0)
    # One carries all from 2^(2/3) times the even approach on (derived from F = K d^1.5).
    assert row.carries_all_um == pytest.approx(2 ** (2 / 3) * even_um)


def test_the_second_model_says_nearly_the_same_tolerance():
    (row,) = rows(*faces("dd", stand_out_um=0.0), down_thrust_n=60_000.0)

    # Hertz is stiffer than Palmgren on the 218 size by about as much as a rising angle makes it.
    assert row.rising_carries_all_um == pytest.approx(row.carries_all_um, rel=0.1)


@settings(max_examples=50, deadline=None)
@given(st.floats(2_000.0, 80_000.0), st.floats(0.05, 0.99))
def test_one_bearing_carries_all_exactly_from_that_difference_on(thrust, below):
    limit = carries_all_um(compliance(angular()), thrust)
    (just_above,) = rows(angular(stand_out_um=limit * 1.001), angular(stand_out_um=0.0), down_thrust_n=thrust)
    (under,) = rows(angular(stand_out_um=limit * below), angular(stand_out_um=0.0), down_thrust_n=thrust)

    assert just_above.heavier_share == pytest.approx(1.0)
    assert 0.5 < under.heavier_share < 1.0


def test_a_stand_out_that_was_not_measured_leaves_the_share_open_and_the_tolerance_known():
    (row,) = rows(*faces("dd"), down_thrust_n=60_000.0)

    assert row.stand_out_difference_um is None
    assert row.heavier_share is None
    assert row.carries_all_um > 0


def test_bearings_that_only_up_thrust_loads_are_told_in_that_case():
    found = rows(*faces("duu"), down_thrust_n=30_000.0, up_thrust_n=8_000.0)

    assert [(row.refs, row.case) for row in found] == [(("2", "3"), "up_thrust")]


def test_half_of_the_difference_is_noted_and_all_of_it_warned_of():
    limit = carries_all_um(compliance(angular()), 30_000.0)
    flush = angular(stand_out_um=0.0)

    assert "mismatch-sensitive" not in codes(angular(stand_out_um=limit * 0.49), flush)
    assert codes(angular(stand_out_um=limit * 0.51), flush)["mismatch-sensitive"] == "note"
    assert codes(angular(stand_out_um=limit * 1.01), flush)["mismatch-sensitive"] == "warn"


def test_a_warm_shaft_widens_the_difference_of_the_lower_bearing():
    # Tandem with 47 mm between the middles: 11.5e-6 x 20 K x 47 mm = 10.8 um (geometry).
    (lower,) = rows(angular(stand_out_um=0.0), angular(stand_out_um=5.0), shaft_warmer_k=20.0)
    (upper,) = rows(angular(stand_out_um=5.0), angular(stand_out_um=0.0), shaft_warmer_k=20.0)

    assert lower.growth_difference_um == pytest.approx(10.81, abs=0.01)
    assert upper.growth_difference_um == pytest.approx(-10.81, abs=0.01)
