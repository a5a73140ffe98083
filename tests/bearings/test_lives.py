"""Contamination by both routes, and reliability above 90 per cent."""

from dataclasses import replace

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.lubrication import cleanliness_factor, contamination_factor
from bearings.engineering.quantities import Lubrication
from bearings.engineering.rating import reliability_factor
from bearings.stack_file import StackFileError, parse_stack, stack_values
from tests.bearings.factories import angular, stack

# Rows of ISO 281:2007 Table 12, from memory, unverified.
TABLE_12 = (
    (90, 1), (95, 0.64), (96, 0.55), (97, 0.47), (98, 0.37), (99, 0.25), (99.2, 0.22), (99.4, 0.19),
    (99.6, 0.16), (99.8, 0.12), (99.9, 0.093), (99.92, 0.087), (99.94, 0.080), (99.95, 0.077),
)  # fmt: skip


@pytest.mark.parametrize(("percent", "a1"), TABLE_12)
def test_reliability_factor_gives_every_row_of_table_12(percent, a1):
    # The law gives the table's rows within 0.005, half a step of the table's own rounding of its second figure.
    assert reliability_factor(percent) == pytest.approx(a1, abs=0.005)


@pytest.mark.parametrize("percent", [89.9, 99.96, 100.0, 0.0])
def test_reliability_outside_the_table_is_refused(percent):
    with pytest.raises(ValueError, match="outside 90 to"):
        reliability_factor(percent)


# A case computed apart from this code (spherical roller thrust bearing, dm 200 mm, kappa 2.876), and grease of high
# cleanliness at dm 100 mm, kappa 1: a public wind-turbine bearing guideline's constants (NREL/TP-500-42362, Table 7).
@pytest.mark.parametrize(
    ("cleanliness", "pitch", "kappa", "expected"),
    [("bath_17_14", 200.0, 2.876, 0.3592), ("grease_high_cleanliness", 100.0, 1.0, 0.854)],
)
def test_cleanliness_of_annex_a_matches_separate_calculations(cleanliness, pitch, kappa, expected):
    oil = Lubrication(cleanliness=cleanliness)
    assert cleanliness_factor(oil, pitch, kappa) == pytest.approx(expected, abs=5e-4)


def test_annex_a_never_leaves_zero_to_one():
    small = Lubrication(cleanliness="bath_21_18")
    assert cleanliness_factor(small, 20.0, 1.0) == 0.0
    clean = Lubrication(cleanliness="circulating_13_10")
    assert 0.9 < cleanliness_factor(clean, 1_000.0, 4.0) <= 1.0


def test_a_factor_rules_over_a_level_and_a_level_over_the_cleanliness():
    oil = Lubrication(
        contamination_factor=0.7, contamination="slight_contamination", cleanliness="bath_17_14"
    )
    assert contamination_factor(oil, 157.5, 2.0) == 0.7
    assert contamination_factor(replace(oil, contamination_factor=None), 157.5, 2.0) == 0.4
    by_annex = replace(oil, contamination_factor=None, contamination=None)
    assert contamination_factor(by_annex, 157.5, 2.0) == cleanliness_factor(by_annex, 157.5, 2.0)


def oiled(**oil):
    known = Lubrication(method="oil_bath", iso_vg=68.0, temperature_c=70.0, **oil)
    return stack(angular("d"), angular("d"), angular("u"), lubrication=known)


def test_both_routes_are_told_side_by_side_when_both_are_given():
    answer = check_stack(oiled(contamination="slight_contamination", cleanliness="bath_19_16")).life
    by_annex = check_stack(oiled(cleanliness="bath_19_16")).life
    assert answer.other_stack_l10mh == by_annex.stack_l10mh
    assert answer.stack_l10mh != answer.other_stack_l10mh
    assert by_annex.other_stack_l10mh is None


def test_a_higher_reliability_shortens_the_life_stated_for_it_and_nothing_else():
    plain = oiled(contamination="slight_contamination")
    surer = replace(plain, motor=replace(plain.motor, reliability_percent=99.0))
    at_90, at_99 = check_stack(plain).life, check_stack(surer).life
    assert at_90.stack_lnmh == at_90.stack_l10mh == at_99.stack_l10mh
    assert at_99.stack_lnmh == pytest.approx(0.25 * at_90.stack_l10mh, rel=0.02)  # Table 12, a1 of 99 %


def test_cleanliness_without_viscosity_asks_for_the_oil_only():
    answer = check_stack(stack(angular("d"), lubrication=Lubrication(cleanliness="bath_17_14")))
    (life,) = [one for one in answer.subjects if one.subject == "life"]
    assert life.verdict == "not_proven"
    assert ("lubrication.iso_vg", None) in life.missing
    assert "lubrication.contamination" not in {field for field, _ in life.missing}


@pytest.mark.parametrize(
    ("room", "name", "value"),
    [
        ("motor", "reliability_percent", 100),
        ("motor", "reliability_percent", "high"),
        ("lubrication", "cleanliness", "bath_18_15"),
        ("lubrication", "ambient_c", -300),
        ("lubrication", "external_heat_w", -1),
    ],
)
def test_wrong_values_are_refused_with_their_path(room, name, value):
    data = stack_values(oiled())
    data.setdefault(room, {})[name] = value
    with pytest.raises(StackFileError) as caught:
        parse_stack(data)
    assert [one.field for one in caught.value.mistakes] == [f"{room}.{name}"]
