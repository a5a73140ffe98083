"""A file on its way into the book: unseen until one moment puts it in force, and gone whole where it breaks."""

from __future__ import annotations

from datetime import timedelta
from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection
from django.utils import timezone

from bearings.book import BookError, StaleBookError, add_rating, add_source, drafted_source
from bearings.book_candidates import book_candidates
from bearings.book_comparison import compare_sources
from bearings.book_editions import Editions
from bearings.book_file import arrival
from bearings.book_file.arrival import (
    ImportTakenOverError,
    arriving,
    begin_import,
    put_in_force,
    remove_broken_imports,
    remove_import,
    write_new,
)
from bearings.book_file.importing import ImportRefusedError, prepare_import
from bearings.book_file.writer import export_lines
from bearings.models import IMPORT_SILENT_FOR, Rating, RatingImport, Source
from tests.bearings.book_file.writing import file_of, line

pytestmark = [pytest.mark.django_db, pytest.mark.data]
NAMES = {"maker": "Maker A (invented)", "title": "Bearing tables", "edition": "2019"}


@pytest.fixture
def source() -> Source:
    return add_source(**NAMES)


def many(count: int, **cells: str):
    return file_of(*(line(designation=f"73{n:03d}", **cells) for n in range(count)))


def half_written(source: Source, *, key: str = "k", count: int = 60) -> RatingImport:
    """Leave an import as a killed process does: rows written, never put in force."""
    with prepare_import(many(count), source if source.pk else None) as prepared:
        under_way = begin_import(source, key=key)
        write_new(prepared, under_way)
    return under_way


def fall_silent(under_way: RatingImport) -> None:
    long_ago = timezone.now() - IMPORT_SILENT_FOR - timedelta(seconds=1)
    RatingImport.objects.filter(pk=under_way.pk).update(heartbeat=long_ago)


# Not to be seen


def test_no_reader_of_the_book_meets_a_file_before_it_is_in_force(source):
    half_written(source)
    half_written(drafted_source(**{**NAMES, "edition": "2024"}), key="other")
    assert Rating.every.count() == 120
    newer = Source.every.get(edition="2024")
    entry = {"data": {"designation": "73000", "maker": NAMES["maker"], "variant": "single", "cage": "brass",
                      "type": "angular_contact_ball", "source": str(source)}}  # fmt: skip
    assert not Rating.objects.exists()
    assert not Rating.objects.found_by("73").exists()
    assert book_candidates(bore_mm=100, most=500) == []
    assert compare_sources(source, newer).lines == []
    assert Editions([entry]).renewal(entry) is None
    assert list(Source.objects.with_counts().values_list("edition", "rating_count")) == [("2019", 0)]
    assert len(list(export_lines(source))) == len(["mark", "header", "units"])
    assert list(newer.ratings.all()) == []


def test_one_moment_puts_a_new_source_with_all_its_ratings_in_force():
    source = drafted_source(**NAMES)
    with (
        prepare_import(many(30), None) as prepared,
        arriving(prepared, source, key="k", correct=False) as under_way,
    ):
        assert not Source.objects.exists()
        assert put_in_force(prepared, under_way, correct=False)["new"] == 30
    (stored,) = Source.objects.with_counts()
    assert (stored.edition, stored.rating_count) == ("2019", 30)
    assert {one.imported_with for one in Rating.objects.all()} == {RatingImport.objects.get()}


def test_an_edition_of_its_own_counts_as_the_newer_one_from_that_moment_only(source):
    """A record's bearing follows the newest edition: never one of which the half is written."""
    write_import_of(source, file_of(line()))
    entry = {"data": {"designation": "7320 X", "maker": NAMES["maker"], "variant": "single", "cage": "brass",
                      "type": "angular_contact_ball", "source": str(source), "limiting_speed_rpm": 2700.0}}  # fmt: skip
    newer = drafted_source(**{**NAMES, "edition": "2024"})
    with (
        prepare_import(file_of(line(limiting_speed="2300")), None) as prepared,
        arriving(prepared, newer, key="k", correct=False) as under_way,
    ):
        assert Editions([entry]).renewal(entry) is None
        put_in_force(prepared, under_way, correct=False)
    renewal = Editions([entry]).renewal(entry)
    assert renewal is not None
    assert renewal.data["limiting_speed_rpm"] == 2300


def write_import_of(source: Source, file, *, key="k", correct=False, before=lambda: None) -> dict[str, int]:
    """Take a file in; ``before`` happens when it is written and not yet in force."""
    stored = source if source.pk else None
    with (
        prepare_import(file, stored) as prepared,
        arriving(prepared, source, key=key, correct=correct) as under_way,
    ):
        before()
        return put_in_force(prepared, under_way, correct=correct)


# Broken off


def test_a_failure_in_the_middle_of_writing_leaves_nothing_behind(source, monkeypatch):
    write_import_of(source, file_of(line(designation="7399")))
    monkeypatch.setattr(arrival, "LEAST_ROWS", 2)
    calls = []
    original = arrival._write_batch

    def third_fails(under_way, ratings):
        calls.append(len(ratings))
        if len(calls) == 3:
            raise OSError("disk full")
        original(under_way, ratings)

    monkeypatch.setattr(arrival, "_write_batch", third_fails)
    with pytest.raises(OSError, match="disk full"):
        write_import_of(source, many(50))
    assert len(calls) == 3
    assert Rating.every.count() == 1
    assert not RatingImport.objects.unfinished().exists()


def test_a_new_source_of_a_failed_import_is_gone_too(monkeypatch):
    source = drafted_source(**NAMES)
    with (
        prepare_import(many(3), None) as prepared,
        pytest.raises(OSError, match="away"),
        arriving(prepared, source, key="k", correct=False),
    ):
        raise OSError("away")
    assert not Source.every.exists()
    assert not Rating.every.exists()


def test_whoever_asked_for_a_killed_import_asks_again_at_once_and_gets_it_whole(source):
    half_written(source, key="mine", count=20)
    with (
        prepare_import(many(60), source) as prepared,
        arriving(prepared, source, key="mine", correct=False) as under_way,
    ):
        put_in_force(prepared, under_way, correct=False)
    assert Rating.objects.count() == Rating.every.count() == 60
    assert RatingImport.objects.count() == 1


def test_another_one_waits_while_a_file_is_taken_in_and_comes_in_once_its_process_is_silent(source):
    first = half_written(source, key="mine")
    with pytest.raises(BookError, match="Another file is being imported"):
        begin_import(source, key="other")
    assert Rating.every.count() == 60
    fall_silent(first)
    begin_import(source, key="other")
    assert Rating.every.count() == 0


def test_what_a_broken_import_left_is_removed_and_a_living_one_is_not(source):
    dead = half_written(drafted_source(**{**NAMES, "edition": "2024"}), key="dead")
    half_written(source, key="living")
    fall_silent(dead)
    remove_broken_imports()
    assert list(Source.every.values_list("edition", flat=True)) == ["2019"]
    assert Rating.every.count() == 60


def test_a_process_whose_import_was_taken_over_writes_no_more_and_removes_nothing_of_the_other(source):
    with prepare_import(many(60), source) as prepared:
        late = begin_import(source, key="mine")
        begin_import(source, key="mine")
        with pytest.raises(ImportTakenOverError):
            write_new(prepared, late)
        with pytest.raises(ImportTakenOverError):
            put_in_force(prepared, late, correct=False)
        remove_import(late)
    assert RatingImport.objects.unfinished().count() == 1
    assert not Rating.every.exists()


def test_what_is_in_force_is_never_removed_as_if_it_were_broken(source):
    write_import_of(source, many(5))
    done = RatingImport.objects.get()
    fall_silent(done)
    remove_broken_imports()
    remove_import(done)
    assert Rating.objects.count() == 5


# Beside people


def test_a_rating_entered_by_hand_meanwhile_makes_the_file_be_looked_at_again(source):
    def somebody_types() -> None:
        add_rating(source=source, designation="7322", type="deep_groove_ball", figures={})

    with pytest.raises(StaleBookError, match="changed this source"):
        write_import_of(source, many(3), before=somebody_types)
    assert list(Rating.every.values_list("designation", flat=True)) == ["7322"]


def test_a_designation_that_a_file_brings_at_this_moment_is_not_entered_by_hand_and_a_broken_one_gives_way(
    source,
):
    same = {"source": source, "designation": "73-000", "type": "angular_contact_ball", "variant": "single",
            "cage": "brass", "figures": {}}  # fmt: skip
    with prepare_import(many(20), source) as prepared:
        under_way = begin_import(source, key="k")
        write_new(prepared, under_way)
        with pytest.raises(BookError, match="file with this designation is being imported"):
            add_rating(**same)
        fall_silent(under_way)
        assert add_rating(**same) in Rating.objects.all()
        with pytest.raises(StaleBookError):
            put_in_force(prepared, under_way, correct=False)
        with pytest.raises(ImportTakenOverError):
            write_new(prepared, under_way)


def test_two_new_sources_of_one_name_on_their_way_at_once_the_second_is_refused_whole():
    def sooner() -> None:
        write_import_of(drafted_source(**NAMES), many(3))

    with pytest.raises(BookError, match="already in the book"):
        write_import_of(drafted_source(**NAMES), many(4), key="other", before=sooner)
    assert Source.every.count() == 1
    assert Rating.every.count() == 3


def test_one_file_corrects_only_as_many_ratings_as_one_short_moment_holds(source, monkeypatch):
    write_import_of(source, many(4))
    monkeypatch.setattr("bearings.book_file.importing.MOST_CORRECTED", 3)
    with pytest.raises(ImportRefusedError, match="One file may correct at most 3"):
        write_import_of(source, many(4, limiting_speed="2400"), correct=True)
    assert set(Rating.objects.values_list("version", flat=True)) == {1}


def test_the_way_back_of_the_migration_leaves_no_half_of_a_file(source):
    write_import_of(source, many(2))
    half_written(drafted_source(**{**NAMES, "edition": "2024"}))
    migration = import_module("bearings.migrations.0002_ratings_on_their_way")
    migration.remove_unfinished(apps, SimpleNamespace(connection=connection, execute=lambda _sql: None))
    assert Rating.every.count() == 2
    assert Source.every.count() == 1
