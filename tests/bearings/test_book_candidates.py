"""Candidates out of the book: found by their envelope in one query, the newest edition of each maker first."""

from __future__ import annotations

from datetime import date

import pytest

from bearings.book_candidates import TooManyCandidatesError, book_candidates, chosen_candidates
from bearings.engineering.assessment import check_stack
from bearings.engineering.candidates import Reason, stack_with
from bearings.engineering.quantities import Lubrication
from bearings.engineering.results import NotChecked, params
from bearings.wording.candidates import candidate_sentence
from tests.bearings.factories import angular, stack
from tests.repairs.factories import make_rating, make_source

pytestmark = pytest.mark.django_db


def test_an_envelope_is_found_in_one_query_with_the_newest_edition_of_each_maker_first(
    django_assert_num_queries,
):
    old = make_source(maker="A", title="Tables", edition="2019", published_on=date(2019, 1, 1))
    new = make_source(maker="A", title="Tables", edition="2024", published_on=date(2024, 1, 1))
    undated = make_source(maker="A", title="Tables", edition="draft")
    other = make_source(maker="B", title="Tables", edition="7", published_on=date(2012, 1, 1))
    for source in (other, undated, old, new):
        make_rating(source, designation="7320")
    make_rating(new, designation="7322", bore_mm=110)
    make_rating(new, designation="7220", outside_diameter_mm=180)
    with django_assert_num_queries(1):
        found = book_candidates(bore_mm=100.0, outside_diameter_mm=215.0, most=10)
    assert [(one.maker, one.edition, one.older_edition) for one in found] == [
        ("A", "2024", False),
        ("A", "2019", True),
        ("A", "draft", False),
        ("B", "7", False),
    ]


def test_a_candidate_has_the_figures_of_its_rating_and_the_source_they_come_from():
    rating = make_rating(make_source(maker="A", title="Tables", edition="2024"), variant="40°", cage="brass")
    (found,) = book_candidates(bore_mm=100.0, most=10)
    bearing = found.candidate.bearing
    assert (found.pk, found.candidate.key, found.source) == (rating.pk, rating.pk, "A, Tables, 2024")
    assert (bearing.bore_mm, bearing.outside_diameter_mm, bearing.height_mm) == (100, 215, 47)
    assert (bearing.limiting_speed_rpm, bearing.dynamic_rating_n) == (2700, 216000)
    assert (bearing.source, bearing.variant, bearing.cage, bearing.wide_face) == (
        "A, Tables, 2024",
        "40°",
        "brass",
        None,
    )


@pytest.mark.parametrize(
    ("printed", "verdict"),
    [
        ({"cage_material": "polyamide"}, "warn"),
        ({"cage_material": "brass", "stabilised_to_c": 150.0}, "ok"),
        ({"cage_material": "polyamide", "temperature_limit_c": 150.0}, "ok"),
        ({"cage_material": "polyamide", "temperature_limit_c": 100.0}, "stop"),
        ({}, "not_proven"),
    ],
)
def test_a_candidates_own_cage_decides_whether_the_oil_is_too_hot(printed, verdict):
    """125 degC of oil: above the 120 of polyamide, more than 20 above a source's own 100 (F5, from memory)."""
    make_rating(figures=printed)
    (found,) = book_candidates(bore_mm=100.0, most=10)
    hot = Lubrication(method="oil_bath", iso_vg=460.0, viscosity_index=95.0, temperature_c=125.0)
    pattern = stack(angular(), lubrication=hot)
    answer = check_stack(stack_with(pattern, found.candidate.bearing))
    assert {one.subject: one.verdict for one in answer.subjects}["lubrication"] == verdict


def test_a_bore_typed_in_inches_finds_its_millimetres_and_not_the_next_inch_size():
    make_rating(designation="metric")
    make_rating(designation="inch", bore_mm=100.0125)
    # 100 mm = 3.9370 in; 3 15/16 in = 100.0125 mm
    assert [one.designation for one in book_candidates(bore_mm=3.9370 * 25.4, most=10)] == ["metric"]
    assert [one.designation for one in book_candidates(bore_mm=3.9375 * 25.4, most=10)] == ["inch"]


def test_more_ratings_than_are_tried_in_one_go_are_refused_not_cut_off():
    source = make_source()
    for _rating in range(3):
        make_rating(source)
    with pytest.raises(TooManyCandidatesError):
        book_candidates(bore_mm=100.0, most=2)


def test_chosen_ratings_come_in_the_order_they_were_chosen_and_those_gone_are_left_out():
    first, second = make_rating(), make_rating()
    assert [one.pk for one in chosen_candidates([second.pk, 999, first.pk])] == [second.pk, first.pk]


@pytest.mark.parametrize(
    ("reason", "sentence"),
    [
        (Reason("bore-differs", 90.0, 100.0), "Bore is 90 mm; needs 100 mm."),
        (
            Reason("set-too-high", 12.0, 0.0, params(count=3, set_mm=153.0, space_mm=141.0)),
            "The set of 3 is 153 mm high; the space is 141 mm. That is 12 mm too high; the spacers can give up 0 mm.",
        ),
        (
            Reason("set-too-low", 3.0, 1.0, params(count=3, set_mm=138.0, space_mm=141.0)),
            "The set of 3 is 138 mm high; the space is 141 mm. That is 3 mm too low; spacers can make up 1 mm.",
        ),
        (
            Reason("type-differs", params=params(found="deep_groove_ball", asked="angular_contact_ball")),
            "Different bearing type: deep groove ball bearing; the pattern needs angular contact ball "
            "bearing.",
        ),
        (Reason("contact-angle-differs", 25.0, 40.0), "Contact angle is 25°; the pattern has 40°."),
        (Reason("height-unknown"), "Height is not in the book."),
        (
            Reason(
                "not-checked",
                not_checked=NotChecked("speed", "missing", params(fields=("limiting_speed_rpm",), ref="1")),
            ),
            "Speed: limiting speed not entered for bearing 1.",
        ),
    ],
)
def test_every_reason_is_a_sentence_with_its_figures(reason, sentence):
    assert candidate_sentence(reason).replace("\u00a0", " ") == sentence


def test_a_length_is_told_in_inches_to_those_who_read_them():
    assert "3.5433\u00a0in" in candidate_sentence(Reason("bore-differs", 90.0, 100.0), "us")
