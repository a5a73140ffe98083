"""Write a source of the bearing book as a rating file."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from bearings.public import Source, book_file


class Command(BaseCommand):
    help = "Write a source of the bearing book as a rating file (CSV, UTF-8)."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="File to write, or - for standard output.")
        parser.add_argument("--maker", required=True, help="Maker of the source.")
        parser.add_argument("--title", required=True, help="Title of the source.")
        parser.add_argument("--edition", required=True, help="Edition of the source.")

    def handle(self, *args: Any, **options: Any) -> None:
        names = {name: options[name] for name in ("maker", "title", "edition")}
        source = Source.objects.filter(**names).first()
        if source is None:
            raise CommandError("No such source in the bearing book.")
        if options["file"] == "-":
            write(book_file.export_lines(source))
            return
        try:
            with Path(options["file"]).open("w", encoding="utf-8", newline="") as out:
                out.writelines(book_file.export_lines(source))
        except OSError as error:
            raise CommandError(f"{options['file']} cannot be written: {error.strerror}.") from error


def write(lines: Iterable[str]) -> None:
    """Write lines to standard output, whatever encoding the terminal has."""
    for line in lines:
        sys.stdout.buffer.write(line.encode())
    sys.stdout.flush()
