from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bearings.engineering.assessment import check_stack
from bearings.engineering.growth import STEEL_EXPANSION, raceway_growth, thermal_change_mm
from bearings.engineering.quantities import Part
from bearings.engineering.sharing import compliance
from bearings.wording import finding_sentence
from tests.bearings.factories import angular, deep_groove, duty, faces, stack


def answer(*items, **values):
    return check_stack(stack(*items, motor=duty(**values)))


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
    assert [
        (one.check, one.params.get("refs")) for one in found.not_checked if one.check.startswith("growth")
    ] == [("growth by fit", ("1", "2"))]
    assert [one.check for one in other.not_checked if one.check.startswith("growth")] == ["growth by heat"]


def severities(found):
    return {one.code: one.severity for one in found.findings}


def test_a_set_that_loses_its_preload_is_warned_of():
    found = answer(*faces("ud", pair_preload_n=500.0), shaft_warmer_k=-10.0)
    (finding,) = [one for one in found.findings if one.code == "thermal-preload"]

    assert finding.severity == "warn"
    assert finding.value == 0.0
    sentence = finding_sentence(finding).replace("\u00a0", " ")
    assert "10 K cooler" in sentence
    assert "lose their preload of 500 N" in sentence


@pytest.mark.parametrize(
    ("preload", "warmer", "words"),
    [(500.0, 30.0, "grows from 500 N"), (0.0, 10.0, "where there was no preload")],
)
def test_a_set_that_gains_too_much_is_warned_of(preload, warmer, words):
    found = answer(*faces("du", pair_preload_n=preload), shaft_warmer_k=warmer)
    (finding,) = [one for one in found.findings if one.code == "thermal-preload"]

    assert words in finding_sentence(finding).replace("\u00a0", " ")


def test_a_small_change_and_a_plain_stack_are_not_told_of():
    assert "thermal-preload" not in severities(
        answer(*faces("du", pair_preload_n=20_000.0), shaft_warmer_k=2.0)
    )
    plain = answer(*faces("du", pair_preload_n=1_000.0))
    assert plain.sharing.growth == ()
    assert not [one for one in plain.not_checked if one.check.startswith("growth")]


def test_the_loads_of_the_cases_do_not_count_growth_in():
    items = faces("ddu", pair_preload_n=1_500.0)

    assert answer(*items, shaft_warmer_k=20.0).cases == answer(*items).cases


@pytest.mark.parametrize(
    ("items", "values", "reason"),
    [
        (faces("du", height_mm=None), {"shaft_warmer_k": 5.0}, "missing"),
        (faces("du", ball_diameter_mm=None, fit_interference_um=9.0), {}, "missing"),
        ((*faces("du"), deep_groove()), {"shaft_warmer_k": 5.0}, "growth-not-modelled"),
        ((deep_groove(),), {"shaft_warmer_k": 5.0}, "growth-not-modelled"),
        (faces("du", spring_force_n=500.0), {"shaft_warmer_k": 5.0}, "growth-not-modelled"),
        (
            faces("du", ball_count=None, pair_preload_n=9.0, fit_interference_um=9.0),
            {"shaft_warmer_k": 5.0},
            "stiffness-unknown",
        ),
    ],
)
def test_growth_that_was_asked_and_is_not_known_is_named(items, values, reason):
    found = [one for one in answer(*items, **values).not_checked if one.check.startswith("growth")]

    assert {one.reason for one in found} == {reason}


def unknown_fields(*items, **values):
    return [one.params["fields"] for one in answer(*items, **values).not_checked if one.check == "growth"]


def test_what_growth_lacks_is_named_and_what_it_has_is_not():
    whole, blank = angular("u"), angular("u", bore_mm=None)
    assert unknown_fields(angular("d"), whole, shaft_warmer_k=10.0) == []
    (fields,) = unknown_fields(angular("d"), blank, shaft_warmer_k=10.0)
    assert fields == ("pitch_diameter_mm",)
    (heights,) = unknown_fields(angular("d"), angular("u", height_mm=None), shaft_warmer_k=10.0)
    assert heights == ("height_mm",)


def test_inner_and_outer_parts_are_added_up_each_for_itself():
    both = Part(kind="spacer", ring="both", inner_height_mm=30.0, outer_height_mm=40.0)
    inner = Part(kind="spacer", ring="inner", height_mm=10.0)
    upper, lower = faces("du")
    (row,) = growth(upper, both, inner, lower, shaft_warmer_k=10.0)
    # 47 mm of two halves and 40 mm on either side, by hand.
    assert row.distance_mm == pytest.approx(87.0)


def test_a_tandem_set_has_no_preload_that_could_change():
    found = answer(*faces("dd"), shaft_warmer_k=10.0)
    assert [one.check for one in found.not_checked if one.check == "growth of the preload"] == []
    assert found.sharing.growth == ()
