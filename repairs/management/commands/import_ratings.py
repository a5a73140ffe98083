"""Take a rating file into a source of the bearing book, as the page does."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import BookError, Source, book_file, grouped
from repairs.ledger.services import SYSTEM, hash_body
from repairs.office.book_importing import Target, import_words, written


class Command(BaseCommand):
    help = _(
        "Import a rating file (CSV) into a source of the bearing book: all of it, or nothing. An empty file with every "
        "column, and what each holds, is on the page Bearing book, Import."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help=_("Rating file."))
        parser.add_argument(
            "--maker", required=True, help=_("Maker of the source; the source is created if needed.")
        )
        parser.add_argument("--title", required=True, help=_("Title of the source."))
        parser.add_argument("--edition", required=True, help=_("Edition of the source."))
        parser.add_argument(
            "--published-on", default="", metavar="DATE", help=_("Date of issue of a new source, YYYY-MM-DD.")
        )
        parser.add_argument(
            "--correct",
            action="store_true",
            help=_("Change stored ratings that differ from the file. Without it, a difference is refused."),
        )
        parser.add_argument(
            "--as-printed", action="store_true", help=_("Confirm that doubtful figures are as printed.")
        )
        parser.add_argument("--dry-run", action="store_true", help=_("Check the file and write nothing."))

    def handle(self, *args: Any, **options: Any) -> None:
        """Check, say what is wrong or asked, write."""
        try:
            with options["file"].open("rb") as file:
                self.import_file(file, target_of(options), options)
        except OSError as error:
            words = _("{file} cannot be read: {error}.").format(file=options["file"], error=error.strerror)
            raise CommandError(words) from error
        except book_file.BookFileError as error:
            raise CommandError(_lines(one.as_dict() for one in error.notes)) from error
        except BookError as error:
            raise CommandError(str(error)) from error

    def import_file(self, file: Any, target: Target, options: Mapping[str, Any]) -> None:
        with book_file.prepare_import(file, target.stored(), progress=self.tell) as prepared:
            report = prepared.report
            self.judge(report, options)
            if options["dry_run"]:
                words = _("Nothing written. It would be: {counts}")
                self.stdout.write(words.format(counts=import_words(report.counts)))
                return
            file_written = written(
                actor=SYSTEM,
                # Whoever runs the command again for this source takes the place of a run that was killed.
                key=hash_body({"command": "import_ratings", "target": target.words()}),
                prepared=prepared,
                target=target,
                correct=options["correct"],
                told={"file": options["file"].name},
            )
            with file_written as put_in_force, transaction.atomic():
                answer = put_in_force()
            self.stdout.write(import_words(answer["counts"]))

    def judge(self, report: book_file.FileReport, options: Mapping[str, Any]) -> None:
        """Refuse what is wrong, what differs without leave, and what is doubtful and was not said to be read."""
        if report.wrong:
            raise CommandError(_lines(report.wrong))
        book_file.refuse_unfit(report, correct=options["correct"] or options["dry_run"])
        if report.questions:
            told = _lines(report.questions)
            if not options["as_printed"] and not options["dry_run"]:
                words = _("Check each one. If all are as printed, add --as-printed.")
                raise CommandError(f"{told}\n{words}")
            self.stdout.write(told)

    def tell(self, done: int, total: int) -> None:
        if done % 10_000 == 0:
            words = _("{done} of {total} lines")
            self.stderr.write(words.format(done=grouped(done), total=grouped(total)))


def target_of(options: Mapping[str, Any]) -> Target:
    """Return the source that a command names, of the book or to be made."""
    names = {name: options[name] for name in ("maker", "title", "edition")}
    found = Source.objects.filter(**names).first()
    if found is not None:
        return Target(source_id=found.pk)
    return Target(**names, published_on=options.get("published_on", ""))


def _lines(notes: Iterable[Mapping[str, Any]]) -> str:
    return "\n".join(
        _("line {number}, {column}: {value}: {message}").format(
            number=one["line"],
            column=one["column"] or _("whole line"),
            value=one["value"],
            message=one["message"],
        )
        for one in notes
    )
