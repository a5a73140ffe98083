from dataclasses import replace
from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bearings.engineering.assessment import check_stack
from bearings.engineering.growth import STEEL_EXPANSION, raceway_growth, thermal_change_mm
from bearings.engineering.quantities import Part
from bearings.engineering.sharing import compliance
from bearings.wording import finding_sentence
from tests.bearings.factories import angular, duty, faces, settled, stack


def answer(*items, **values):
    return check_stack(stack(*items, motor=duty(**values)))


def whole(*items, **values):
    """Return the answer to a set of which all but what is tried is known."""
    return check_stack(settled(stack(*items, motor=duty(**values))))


def preload_of(found):
    (result,) = [one for one in found.subjects if one.subject == "preload"]
    return result


def growth(*items, **values):
    return answer(*items, **values).sharing.growth


def test_heat_between_adjacent_bearings():
    # 100 x 215 x 47, 40 degrees, 10 K: contact diameter 157.5, L = 47 mm; 11.5e-6 x 10 x (187.7 -+ 47) (geometry).
    (back,) = growth(*faces("du"), shaft_warmer_k=10.0)
    (front,) = growth(*faces("ud"), shaft_warmer_k=10.0)

    assert (back.relation, front.relation) == ("DB", "DF")
    assert back.thermal_um == pytest.approx(16.2, abs=0.05)
    assert front.thermal_um == pytest.approx(27.0, abs=0.05)


@given(st.floats(50, 400), st.floats(15, 45), st.floats(-50, 80))
def test_back_to_back_is_neutral_where_the_contact_lines_meet(contact, angle, warmer):
    neutral = contact / tan(radians(angle))

    change = thermal_change_mm(contact, angle, neutral, warmer, back_to_back=True)
    assert change == pytest.approx(0.0, abs=1e-12 + abs(warmer) * 1e-15)
    beyond = thermal_change_mm(contact, angle, 2 * neutral, warmer, back_to_back=True)
    assert beyond * warmer <= 0


def test_spacers_set_the_middles_apart():
    spacer = Part(kind="spacer", ring="both", inner_height_mm=40.0, outer_height_mm=40.0)
    sides = (
        Part(kind="spacer", ring="inner", height_mm=40.0),
        Part(kind="spacer", ring="outer", height_mm=40.0),
    )
    upper, lower = faces("du")
    (whole,) = growth(upper, spacer, lower, shaft_warmer_k=10.0)
    (split,) = growth(upper, *sides, lower, shaft_warmer_k=10.0)

    assert whole.distance_mm == split.distance_mm == pytest.approx(87.0)
    assert whole.thermal_um == pytest.approx(16.19 - STEEL_EXPANSION * 10 * 40 * 1000, abs=0.02)


def test_preload_grows_as_the_published_form_for_a_pair_says():
    # F / F0 = (1 + dS / (2 d0))^1.5 for an opposed pair (derived from F = K d^1.5).
    (row,) = growth(*faces("ud", pair_preload_n=3_000.0), shaft_warmer_k=10.0)
    rest_um = compliance(angular()) * 3_000.0 ** (2 / 3) * 1000

    assert row.preload_n == pytest.approx(3_000.0)
    assert row.preload_n + row.preload_change_n == pytest.approx(
        3_000.0 * (1 + row.thermal_um / (2 * rest_um)) ** 1.5
    )
    assert row.end_play_um == pytest.approx(-2 * rest_um - row.thermal_um)


def test_a_fit_closes_a_bearing_by_half_its_widening_over_the_tangent():
    # Ring on a solid shaft (Lame): bore over raceway; shops reckon 0.5 to 0.8 of the interference (common practice).
    share = raceway_growth(angular())
    (row,) = growth(*faces("du", fit_interference_um=20.0))

    assert 0.5 < share < 0.8
    assert row.fit_um == pytest.approx(2 * share * 20.0 / (2 * tan(radians(40.0))))
    assert row.thermal_um is None


def test_a_loose_ring_and_equal_temperatures_change_nothing():
    (row,) = growth(*faces("du", pair_preload_n=1_000.0, fit_interference_um=-5.0), shaft_warmer_k=0.0)

    assert (row.thermal_um, row.fit_um) == (0.0, 0.0)
    assert row.preload_change_n == pytest.approx(0.0, abs=1e-6)


def test_a_fit_or_a_warmth_that_nobody_entered_is_not_told_as_nothing():
    found = answer(*faces("du"), shaft_warmer_k=10.0)
    other = answer(*faces("du", fit_interference_um=20.0))

    assert found.sharing.growth[0].fit_um is None
    assert other.sharing.growth[0].thermal_um is None


def severities(found):
    return {one.code: one.severity for one in found.findings}


def test_a_set_that_loses_its_preload_is_warned_of():
    found = whole(*faces("ud", pair_preload_n=500.0, fit_interference_um=0.0), shaft_warmer_k=-10.0)
    (finding,) = [one for one in found.findings if one.code == "thermal-preload"]

    assert finding.severity == "warn"
    assert finding.value == 0.0
    sentence = finding_sentence(finding).replace("\u00a0", " ")
    assert "10 K cooler" in sentence
    assert "loses its 500 N preload" in sentence


@pytest.mark.parametrize(
    ("preload", "warmer", "severity", "words"),
    [
        (500.0, 30.0, "note", "goes from 500 N"),
        (0.0, 10.0, "note", "goes from 0 N"),
        (15_000.0, 30.0, "warn", "grows from 15 000 N"),
    ],
)
def test_a_set_that_gains_preload_is_warned_of_beyond_a_share_of_its_rating(preload, warmer, severity, words):
    # A tenth of C, 21 600 N (shop policy; common practice, no source); a warm set usually doubles.
    found = whole(*faces("du", pair_preload_n=preload, fit_interference_um=0.0), shaft_warmer_k=warmer)
    (finding,) = [one for one in found.findings if one.code == "thermal-preload"]

    assert finding.severity == severity
    assert (finding.value > 21_600.0) == (severity == "warn")
    assert words in finding_sentence(finding).replace("\u00a0", " ").replace(",", " ")


def test_an_unknown_warmth_is_judged_over_its_range():
    found = whole(*faces("du", pair_preload_n=15_000.0, fit_interference_um=0.0), shaft_warmer_k=0.0)
    unknown = check_stack(replace(found.stack, motor=replace(found.stack.motor, shaft_warmer_k=None)))

    assert preload_of(found).verdict == "ok"
    assert preload_of(unknown).verdict == "not_proven"
    assert ("motor.shaft_warmer_k", None) in preload_of(unknown).missing


def test_a_plain_stack_has_no_growth():
    assert answer(*faces("du", pair_preload_n=1_000.0)).sharing.growth == ()


def test_the_loads_of_the_cases_do_not_count_growth_in():
    items = faces("ddu", pair_preload_n=1_500.0)

    assert answer(*items, shaft_warmer_k=20.0).cases == answer(*items).cases


@pytest.mark.parametrize(
    ("values", "field"),
    [({"height_mm": None}, "height_mm"), ({"ball_diameter_mm": None, "bore_mm": None}, "bore_mm")],
)
def test_growth_that_lacks_a_size_leaves_the_preload_open(values, field):
    found = whole(*faces("du", fit_interference_um=9.0, **values), shaft_warmer_k=5.0)

    assert preload_of(found).verdict == "not_proven"
    assert (field, "1") in preload_of(found).missing


def test_inner_and_outer_parts_are_added_up_each_for_itself():
    both = Part(kind="spacer", ring="both", inner_height_mm=30.0, outer_height_mm=40.0)
    inner = Part(kind="spacer", ring="inner", height_mm=10.0)
    upper, lower = faces("du")
    (row,) = growth(upper, both, inner, lower, shaft_warmer_k=10.0)
    # 47 mm of two halves and 40 mm on either side, by hand.
    assert row.distance_mm == pytest.approx(87.0)


def test_a_tandem_set_has_no_preload_that_could_change():
    assert answer(*faces("dd"), shaft_warmer_k=10.0).sharing.growth == ()
