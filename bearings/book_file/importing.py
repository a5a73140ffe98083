"""Take a rating file into a source: checked outside, written in one go, all of it or nothing."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from tempfile import TemporaryFile
from types import TracebackType
from typing import Any, BinaryIO, Final, Self

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.book import (
    ENVELOPE,
    FIGURES,
    RATING_TEXTS,
    BookError,
    StaleBookError,
    rating_values,
)
from bearings.book_file.checking import CheckedLine, FileReport, Progress, book_state, check_rating_file
from bearings.models import Rating, Source, designation_key

ROWS_AT_ONCE: Final = 500
_WRITTEN: Final = (*RATING_TEXTS, *ENVELOPE, "figures", "not_printed", "version")
Corrected = Callable[[list[tuple[Rating, dict[str, Any]]]], None]


class ImportRefusedError(BookError):
    """A file is not taken in; nothing was written. ``report`` says what its lines are."""

    def __init__(self, message: str, report: FileReport) -> None:
        super().__init__(message)
        self.report = report


@dataclass
class PreparedImport:
    """A file that was checked line by line, waiting to be written. Close it, for it keeps its rows in a file."""

    report: FileReport
    rows: BinaryIO

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.rows.close()


def prepare_import(
    file: BinaryIO, source: Source | None, *, progress: Progress | None = None
) -> PreparedImport:
    """Check a file outside any transaction and keep what is to be written, so that writing is short."""
    rows = TemporaryFile()  # noqa: SIM115 - lives as long as the prepared import
    try:

        def keep(line: CheckedLine) -> None:
            if line.kind in {"new", "changed"}:
                rows.write(json.dumps(_as_row(line)).encode() + b"\n")

        return PreparedImport(check_rating_file(file, source, progress=progress, keep=keep), rows)
    except BaseException:
        rows.close()
        raise


def _as_row(line: CheckedLine) -> dict[str, Any]:
    row: dict[str, Any] = {"texts": line.texts, "figures": line.figures, "not_printed": line.not_printed}
    if line.stored is not None:
        row |= {"pk": line.stored.pk, "version": line.stored.version, "before": rating_values(line.stored)}
    return row


def refuse_unfit(report: FileReport, *, correct: bool) -> None:
    """Refuse a file with mistakes, without anything to write, or with changes that nobody asked for."""
    counts = report.counts
    if counts["wrong"]:
        message = ngettext(
            "%(wrong)d line is wrong. Nothing was taken in; mend it and choose the file again.",
            "%(wrong)d lines are wrong. Nothing was taken in; mend them and choose the file again.",
            counts["wrong"],
        )
        raise ImportRefusedError(message % counts, report)
    if counts["changed"] and not correct:
        message = ngettext(
            "%(changed)d line differs from what is stored, and changed lines are to be refused. Nothing was taken in.",
            "%(changed)d lines differ from what is stored, and changed lines are to be refused. Nothing was taken in.",
            counts["changed"],
        )
        raise ImportRefusedError(message % counts, report)
    if not counts["new"] and not counts["changed"]:
        raise ImportRefusedError(_("The file holds nothing that is not in the book already."), report)


@transaction.atomic
def write_import(
    prepared: PreparedImport, source: Source, *, correct: bool, corrected: Corrected | None = None
) -> dict[str, int]:
    """Write a prepared import, unless the source changed since; return how many lines were of which kind.

    ``corrected`` is told the ratings that were changed, with their values before.
    """
    refuse_unfit(prepared.report, correct=correct)
    Source.objects.select_for_update().get(pk=source.pk)
    if book_state(source) != prepared.report.book:
        raise StaleBookError(
            _("Somebody changed this source meanwhile. Choose the file again, to see what it would do now.")
        )
    rows = _rows(prepared)
    while together := list(islice(rows, ROWS_AT_ONCE)):
        _write(source, together, corrected)
    return dict(prepared.report.counts)


def _rows(prepared: PreparedImport) -> Iterator[dict[str, Any]]:
    prepared.rows.seek(0)
    for line in prepared.rows:
        yield json.loads(line)


def _write(source: Source, rows: list[dict[str, Any]], corrected: Corrected | None) -> None:
    new = [_rating(source, row) for row in rows if "pk" not in row]
    changed = [(_rating(source, row), row["before"]) for row in rows if "pk" in row]
    twice = _(
        "A rating of this file was entered meanwhile. Choose the file again, to see what it would do now."
    )
    try:
        with transaction.atomic():
            Rating.objects.bulk_create(new)
            if changed:
                Rating.objects.bulk_create(
                    [rating for rating, _before in changed],
                    update_conflicts=True,
                    update_fields=_WRITTEN,
                    unique_fields=("id",),
                )
    except IntegrityError as error:
        raise StaleBookError(twice) from error
    if changed and corrected is not None:
        corrected(changed)


def _rating(source: Source, row: dict[str, Any]) -> Rating:
    texts, figures = row["texts"], row["figures"]
    rating = Rating(
        source=source,
        designation_key=designation_key(texts["designation"]),
        version=row.get("version", 0) + 1,
        not_printed=row["not_printed"],
        figures={name: figures[name] for name in FIGURES if name in figures and name not in ENVELOPE},
        **texts,
        **{name: figures.get(name) for name in ENVELOPE},
    )
    rating.pk = row.get("pk")
    return rating
