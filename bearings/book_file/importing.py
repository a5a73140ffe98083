"""Take a rating file into a source: checked outside, written in short batches that nobody sees, then put in force."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from tempfile import TemporaryFile
from types import TracebackType
from typing import Any, BinaryIO, Final, Self

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.book import ENVELOPE, FIGURES, BookError, rating_values
from bearings.book_file.checking import CheckedLine, FileReport, Progress, check_rating_file
from bearings.models import Rating, Source, designation_key
from bearings.wording.figures import grouped

# Corrections are written in the one short transaction that puts the file in force; more would make others wait.
MOST_CORRECTED: Final = 1000


class ImportRefusedError(BookError):
    """A file is not taken in; nothing was written. ``report`` says what its lines are."""

    def __init__(self, message: str, report: FileReport) -> None:
        super().__init__(message)
        self.report = report


@dataclass
class PreparedImport:
    """A file that was checked line by line, waiting to be written. Close it, for it keeps its rows in a file.

    ``changed`` holds the rows that correct a stored rating, up to the number that is accepted.
    """

    report: FileReport
    rows: BinaryIO
    changed: list[dict[str, Any]] = field(default_factory=list)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.rows.close()

    def new_ratings(self, source: Source) -> Iterator[Rating]:
        """Yield the ratings that the file adds to a source."""
        self.rows.seek(0)
        for row in self.rows:
            yield _rating(source, json.loads(row))

    def corrections(self, source: Source) -> list[tuple[Rating, dict[str, Any]]]:
        """Return the ratings that the file corrects, each with its values before."""
        return [(_rating(source, row), row["before"]) for row in self.changed]


def prepare_import(
    file: BinaryIO, source: Source | None, *, progress: Progress | None = None
) -> PreparedImport:
    """Check a file outside any transaction and keep what is to be written, so that writing is short."""
    rows = TemporaryFile()  # noqa: SIM115 - lives as long as the prepared import
    changed: list[dict[str, Any]] = []
    try:

        def keep(line: CheckedLine) -> None:
            if line.kind == "new":
                rows.write(json.dumps(_as_row(line)).encode() + b"\n")
            elif line.kind == "changed" and len(changed) < MOST_CORRECTED:
                changed.append(_as_row(line))

        return PreparedImport(check_rating_file(file, source, progress=progress, keep=keep), rows, changed)
    except BaseException:
        rows.close()
        raise


def _as_row(line: CheckedLine) -> dict[str, Any]:
    row: dict[str, Any] = {"texts": line.texts, "figures": line.figures, "not_printed": line.not_printed}
    if line.stored is not None:
        stored = line.stored
        row |= {"pk": stored.pk, "version": stored.version, "before": rating_values(stored)}
    return row


def refuse_unfit(report: FileReport, *, correct: bool) -> None:
    """Refuse a file with mistakes, without anything to write, or with changes that nobody asked for."""
    counts = report.counts
    told = {name: grouped(count) for name, count in counts.items()}
    if counts["wrong"]:
        message = ngettext(
            "%(wrong)s line is wrong. Nothing was imported; fix it and choose the file again.",
            "%(wrong)s lines are wrong. Nothing was imported; fix them and choose the file again.",
            counts["wrong"],
        )
        raise ImportRefusedError(message % told, report)
    if counts["changed"] and not correct:
        message = ngettext(
            "%(changed)s line differs from the book, and changed lines are to be refused. Nothing was imported.",
            "%(changed)s lines differ from the book, and changed lines are to be refused. Nothing was imported.",
            counts["changed"],
        )
        raise ImportRefusedError(message % told, report)
    if counts["changed"] > MOST_CORRECTED:
        message = _(
            "%(changed)s lines differ from the book. One file may correct at most %(most)s. Import it as a new "
            "edition, or split the file. Nothing was imported."
        )
        raise ImportRefusedError(message % {**told, "most": grouped(MOST_CORRECTED)}, report)
    if not counts["new"] and not counts["changed"]:
        raise ImportRefusedError(_("Every line of this file is already in the book."), report)


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
