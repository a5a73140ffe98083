"""From a checked file to ratings of the book: written in short batches that nobody sees, put in force in one moment.

A file that is broken off in the middle leaves rows that no reader of the book ever meets. They are removed when the
same file is asked for again, or once their process has been silent for a minute and another file comes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import islice
from typing import Any, Final
from uuid import uuid4

from django.db import DatabaseError, IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.book import ENVELOPE, RATING_TEXTS, BookError, StaleBookError, edition_twice
from bearings.book_file.checking import Progress, book_state
from bearings.book_file.importing import PreparedImport, refuse_unfit
from bearings.models import Rating, RatingImport, Source
from bearings.pace import Pace

LEAST_ROWS: Final = 20
MOST_ROWS: Final = 500
REMOVED_AT_ONCE: Final = 2000
_CORRECTED_FIELDS: Final = (*RATING_TEXTS, *ENVELOPE, "figures", "not_printed", "version")
Corrected = Callable[[list[tuple[Rating, dict[str, Any]]]], None]


class ImportTakenOverError(BookError):
    """The same file was asked for again while this process wrote it; the newer one goes on."""

    def __init__(self) -> None:
        super().__init__(_("This file was sent again; the later import continues."))


@contextmanager
def arriving(
    prepared: PreparedImport,
    source: Source,
    *,
    key: str,
    correct: bool,
    progress: Progress | None = None,
) -> Iterator[RatingImport]:
    """Write the new ratings of a file, to be put in force within; if they are not, they are removed again."""
    refuse_unfit(prepared.report, correct=correct)
    under_way = begin_import(source, key=key, progress=progress)
    try:
        write_new(prepared, under_way, progress=progress)
        yield under_way
    except BaseException:
        # Where the database is away, what is left is removed later.
        with suppress(DatabaseError):
            remove_import(under_way)
        raise
    remove_import(under_way)


def begin_import(source: Source, *, key: str, progress: Progress | None = None) -> RatingImport:
    """Open a source for a file. Another import of it that is under way refuses; one that was broken off is removed.

    ``key`` tells who asks: what the same one began before is removed at once, whether its process lives or not.
    """
    unfinished = RatingImport.objects.unfinished()
    for one in [*unfinished.filter(key=key), *RatingImport.objects.broken_off()]:
        remove_import(one, progress=progress)
    try:
        with transaction.atomic():
            if source.pk is None:
                source.in_force = False
                source.save()
            return RatingImport.objects.create(source=source, key=key, token=uuid4().hex)
    except IntegrityError as error:
        words = _("Another file is being imported into this source. Wait until it finishes.")
        raise BookError(words) from error


def write_new(prepared: PreparedImport, under_way: RatingImport, *, progress: Progress | None = None) -> None:
    """Write the new ratings of a file, a batch at a time; nobody sees them yet."""
    pace, done = Pace(least=LEAST_ROWS, most=MOST_ROWS), 0
    lines, new = prepared.report.survey["lines"], prepared.report.counts["new"]
    ratings = prepared.new_ratings(under_way.source)
    while together := list(islice(ratings, pace.rows)):
        with pace.batch():
            _write_batch(under_way, together)
        done += len(together)
        if progress is not None:
            progress(lines + done, lines + new)


@transaction.atomic
def _write_batch(under_way: RatingImport, ratings: list[Rating]) -> None:
    _still_mine(under_way, heartbeat=timezone.now())
    for rating in ratings:
        rating.imported_with = under_way
    try:
        with transaction.atomic():
            Rating.every.bulk_create(ratings)
    except IntegrityError as error:
        raise _stale() from error


def _still_mine(under_way: RatingImport, **values: Any) -> None:
    """Write the import's row, unless another process took the import over or removed it."""
    rows = RatingImport.objects.unfinished().filter(pk=under_way.pk, token=under_way.token)
    if not rows.update(**values):
        raise ImportTakenOverError


def _stale() -> StaleBookError:
    return StaleBookError(
        _("Someone else changed this source. Choose the file again to see what it would do now.")
    )


@transaction.atomic
def put_in_force(
    prepared: PreparedImport,
    under_way: RatingImport,
    *,
    correct: bool,
    corrected: Corrected | None = None,
) -> dict[str, int]:
    """Make what was written part of the book, with the file's corrections; return the lines of each kind.

    ``corrected`` is told the ratings that were changed, with their values before. Raises
    :class:`~bearings.book.StaleBookError` when the source changed since the file was checked.
    """
    refuse_unfit(prepared.report, correct=correct)
    source = Source.every.select_for_update().get(pk=under_way.source_id)
    if source.in_force and book_state(source) != prepared.report.book:
        raise _stale()
    _still_mine(under_way, in_force=True, token="")
    if not source.in_force:
        _show(source)
    Source.every.filter(pk=source.pk).update(ratings_version=F("ratings_version") + 1)
    _correct(prepared, source, corrected)
    return dict(prepared.report.counts)


def _show(source: Source) -> None:
    if Source.objects.same_edition(source).exists():
        raise edition_twice()
    try:
        with transaction.atomic():
            Source.every.filter(pk=source.pk).update(in_force=True)
    except IntegrityError as error:
        raise edition_twice() from error


def _correct(prepared: PreparedImport, source: Source, corrected: Corrected | None) -> None:
    changed = prepared.corrections(source)
    if not changed:
        return
    try:
        with transaction.atomic():
            Rating.every.bulk_create(
                [rating for rating, _before in changed],
                update_conflicts=True,
                update_fields=_CORRECTED_FIELDS,
                unique_fields=("id",),
            )
    except IntegrityError as error:
        raise _stale() from error
    if corrected is not None:
        corrected(changed)


def remove_import(under_way: RatingImport, *, progress: Progress | None = None) -> None:
    """Remove what an unfinished import wrote, a batch at a time; its process stops at its next batch.

    One that is in force stays. ``progress`` only hears that there is some.
    """
    rows = RatingImport.objects.unfinished().filter(pk=under_way.pk)
    if not rows.update(token=""):
        return
    pace = Pace(least=LEAST_ROWS, most=REMOVED_AT_ONCE)
    ratings = Rating.every.filter(imported_with=under_way.pk).order_by("pk")
    while together := list(ratings.values_list("pk", flat=True)[: pace.rows]):
        with pace.batch():
            Rating.every.filter(pk__in=together)._raw_delete(Rating.every.db)
        if progress is not None:
            progress(0, 1)
    with transaction.atomic():
        source = Source.every.select_for_update().filter(pk=under_way.source_id).first()
        rows.delete()
        if source is not None and not source.in_force:
            source.delete()


def remove_broken_imports() -> None:
    """Remove what imports left whose process ended in the middle."""
    for one in RatingImport.objects.broken_off():
        remove_import(one)
