"""Write a source of the bearing book as a rating file."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from bearings.public import Source, book_file


class Command(BaseCommand):
    help = _("Write a source of the bearing book as a rating file (CSV, UTF-8).")

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help=_("File to write, or - for standard output."))
        parser.add_argument("--maker", required=True, help=_("Maker of the source."))
        parser.add_argument("--title", required=True, help=_("Title of the source."))
        parser.add_argument("--edition", required=True, help=_("Edition of the source."))

    def handle(self, *args: Any, **options: Any) -> None:
        names = {name: options[name] for name in ("maker", "title", "edition")}
        source = Source.objects.filter(**names).first()
        if source is None:
            words = _(
                "No such source in the bearing book: {maker}, {title}, {edition}. Give all three as the page "
                "Bearing book shows them."
            )
            raise CommandError(words.format(**names))
        if options["file"] == "-":
            write(book_file.export_lines(source))
            return
        try:
            with Path(options["file"]).open("w", encoding="utf-8", newline="") as out:
                out.writelines(book_file.export_lines(source))
        except OSError as error:
            words = _("{file} cannot be written: {error}.").format(file=options["file"], error=error.strerror)
            raise CommandError(words) from error


def write(lines: Iterable[str]) -> None:
    """Write lines to standard output, whatever encoding the terminal has."""
    for line in lines:
        sys.stdout.buffer.write(line.encode())
    sys.stdout.flush()
