"""Two editions side by side: how ratings pair, what counts as a fall of the permissible speed, in which order."""

from __future__ import annotations

from datetime import date

import pytest

from bearings.book_comparison import compare_sources, edition_before, rating_differences, speed_change
from bearings.models import Rating
from tests.repairs.factories import make_rating, make_source

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def speeds(**names: float) -> dict[str, float]:
    return {f"{name}_speed_rpm": value for name, value in names.items()}


@pytest.mark.parametrize(
    ("older", "newer", "expected"),
    [
        (speeds(limiting=2700), speeds(limiting=2430), (-0.1, False)),
        (speeds(limiting=2700, oil=2000), speeds(limiting=2970, oil=1500), (-0.25, False)),
        (speeds(limiting=2000), speeds(limiting=2500), (0.25, False)),
        (speeds(limiting=2700, grease=2000), speeds(limiting=2700), (0.0, True)),
        (speeds(limiting=2700), {}, (None, True)),
        ({}, speeds(limiting=2700), (None, False)),
        (speeds(reference=2000), speeds(reference=1000), (-0.5, False)),
        # A bounding speed that one edition prints takes the place of the reference speed.
        (speeds(reference=2000, limiting=3000), speeds(reference=1000, limiting=3000), (0.0, False)),
        ({}, {}, (None, False)),
    ],
)
def test_the_speed_that_fell_most_counts_and_one_printed_no_more_is_told(older, newer, expected):
    change, unprinted = speed_change(older, newer)
    assert change == (expected[0] if expected[0] is None else pytest.approx(expected[0]))
    assert unprinted is expected[1]


def test_another_cage_or_temperature_is_a_change_and_a_temperature_has_no_share():
    older = make_rating(make_source(), figures={"cage_material": "brass", "temperature_limit_c": 150.0})
    newer = make_rating(make_source(), figures={"cage_material": "peek", "temperature_limit_c": 120.0})
    assert rating_differences(older, newer) == [
        ("cage_material", "brass", "peek", None),
        ("temperature_limit_c", 150.0, 120.0, None),
    ]


def test_the_greatest_fall_comes_first_then_what_is_printed_no_more_then_other_changes():
    older, newer = make_source(), make_source()
    for designation, before, after in (
        ("7301", speeds(limiting=2000), speeds(limiting=1900)),
        ("7302", speeds(limiting=2000), speeds(limiting=1000)),
        ("7303", speeds(limiting=2000), {}),
        ("7304", speeds(limiting=2000), speeds(limiting=2200)),
        ("7305", speeds(limiting=2000), speeds(limiting=2000)),
        ("7306", speeds(limiting=2000), None),
        ("7307", None, speeds(limiting=2000)),
    ):
        for source, figures in ((older, before), (newer, after)):
            if figures is not None:
                make_rating(source, designation=designation, figures=figures)
    pair = compare_sources(older, newer)
    assert [(line.key, line.kind) for line in pair.lines] == [
        ("7302", "fell"),
        ("7301", "fell"),
        ("7303", "unprinted"),
        ("7304", "changed"),
        ("7306", "gone"),
        ("7307", "new"),
        ("7305", "same"),
    ]
    assert pair.counts["fell"] == 2
    assert pair.lines[0].speed_change == pytest.approx(-0.5)
    assert [line.key for line in pair.of_kinds(("gone", "new"))] == ["7306", "7307"]


def test_ratings_pair_by_variant_and_cage_then_by_variant_then_as_the_only_ones_left():
    older, newer = make_source(), make_source()
    for source, cages in ((older, ("brass", "steel")), (newer, ("brass", "pressed steel"))):
        for cage in cages:
            make_rating(source, designation="7320", variant=f"inside {cage[-5:]}", cage=cage)
    pair = compare_sources(older, newer)
    found = {tuple(Rating.objects.get(pk=pk).cage for pk in (line.older, line.newer)) for line in pair.lines}
    assert found == {("brass", "brass"), ("steel", "pressed steel")}


def test_what_cannot_be_paired_is_gone_and_new_never_guessed():
    older, newer = make_source(), make_source()
    make_rating(older, designation="7320", variant="A")
    for variant in ("B", "C"):
        make_rating(newer, designation="7320", variant=variant)
    assert compare_sources(older, newer).counts == {"gone": 1, "new": 2}


def test_differences_are_told_with_old_new_and_share():
    older = make_rating(designation="7320", figures={"dynamic_rating_n": 200_000.0}, cage="brass")
    newer = make_rating(
        designation="7320", figures={"dynamic_rating_n": 210_000.0}, cage="steel", not_printed=["f0"]
    )
    told = {one.field: one[1:] for one in rating_differences(older, newer)}
    assert told["cage"] == ("brass", "steel", None)
    assert told["dynamic_rating_n"] == (200_000.0, 210_000.0, pytest.approx(0.05))
    assert told["f0"] == (None, "-", None)
    assert set(told) == {"cage", "dynamic_rating_n", "f0"}


def test_a_note_is_no_difference_and_what_a_speed_means_is_one():
    older, newer = make_source(), make_source()
    make_rating(older, designation="7320", note="page 4")
    make_rating(newer, designation="7320", note="page 9")
    make_rating(older, designation="7322", speed_meaning="oil")
    make_rating(newer, designation="7322", speed_meaning="oil spot")
    kinds = {line.key: line.kind for line in compare_sources(older, newer).lines}
    assert kinds == {"7320": "same", "7322": "changed"}


def test_the_edition_before_is_the_next_older_one_of_the_same_book():
    oldest, middle, newest = (
        make_source(edition=str(year), published_on=date(year, 1, 1)) for year in (2010, 2019, 2024)
    )
    make_source(maker="Maker B (invented)", edition="2022", published_on=date(2022, 1, 1))
    assert edition_before(newest) == middle
    assert edition_before(middle) == oldest
    assert edition_before(oldest) is None


def test_a_comparison_is_one_query_whatever_the_number(django_assert_num_queries):
    older, newer = make_source(), make_source()
    for n in range(30):
        make_rating(older, designation=f"7{n}")
        make_rating(newer, designation=f"7{n}")
    with django_assert_num_queries(1):
        assert len(compare_sources(older, newer).lines) == 30
    assert len(compare_sources(older, newer, "7 2").lines) == 11
