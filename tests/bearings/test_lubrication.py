import chemicals.viscosity
import pytest

from bearings.engineering.lubrication import (
    contamination_factor,
    reference_viscosity,
    viscosity_at,
    viscosity_at_100,
    viscosity_between,
    viscosity_index,
)
from bearings.engineering.quantities import Lubrication
from tests.reference.bearing_cases import GRADES, VISCOSITY_INDICES, WALTHER


@pytest.mark.parametrize(("at_40", "at_100", "index", "source"), VISCOSITY_INDICES)
def test_viscosity_index_follows_the_examples_of_the_standard(at_40, at_100, index, source):
    assert viscosity_index(at_40, at_100) == pytest.approx(index, abs=0.1), source


@pytest.mark.parametrize("index", [20, 60, 95, 100, 110, 150, 200])
@pytest.mark.parametrize("grade", [22, 46, 100, 460, 1000])
def test_viscosity_at_100_gives_back_its_index_in_a_chemistry_library(grade, index):
    at_100 = viscosity_at_100(float(grade), float(index))

    found = chemicals.viscosity.viscosity_index(grade * 1e-6, at_100 * 1e-6, rounding=False)

    assert found == pytest.approx(index, abs=0.4)


@pytest.mark.parametrize(("at_40", "at_100", "temperature", "expected", "source"), WALTHER)
def test_viscosity_between_two_points_follows_a_published_worksheet(
    at_40, at_100, temperature, expected, source
):
    assert viscosity_between(at_40, at_100, temperature) == pytest.approx(expected, rel=0.01), source


@pytest.mark.parametrize(("grade", "at_100", "at_60", "at_70", "at_80", "at_90", "source"), GRADES)
def test_grades_of_index_95_have_their_viscosities(grade, at_100, at_60, at_70, at_80, at_90, source):
    found = [viscosity_at(float(grade), 95.0, t) for t in (100.0, 60.0, 70.0, 80.0, 90.0)]

    assert found == pytest.approx([at_100, at_60, at_70, at_80, at_90], rel=0.002), source


def test_oil_thinner_than_the_index_table_has_no_viscosity():
    assert viscosity_at(3.0, 95.0, 70.0) is None


def test_viscosity_needed_follows_iso_281_on_both_sides_of_1000_rpm():
    # ISO 281:2007 equations 28 and 29; the step at 1000 rpm is 2.33 % and belongs to the standard.
    assert reference_viscosity(1_200.0, 200.0) == pytest.approx(9.186, rel=1e-3)
    assert reference_viscosity(999.999, 200.0) / reference_viscosity(1_000.0, 200.0) == pytest.approx(
        1.0233, abs=1e-3
    )


@pytest.mark.parametrize(
    ("level", "pitch", "expected"),
    [
        ("high_cleanliness", 99.9, 0.6),
        ("high_cleanliness", 100.0, 0.8),
        ("slight_contamination", 157.5, 0.4),
        ("severe_contamination", None, 0.0),
        ("slight_contamination", None, None),
    ],
)
def test_a_cleanliness_level_counts_with_the_lower_bound_of_its_range(level, pitch, expected):
    assert contamination_factor(Lubrication(contamination=level), pitch) == expected


def test_a_contamination_factor_replaces_the_level():
    lubrication = Lubrication(contamination="severe_contamination", contamination_factor=0.7)

    assert contamination_factor(lubrication, 150.0) == 0.7
