"""Check the readings of a file and say what was found."""

from __future__ import annotations

import sys
from typing import Any, Final, cast

from django.conf import settings
from django.core.management.base import CommandParser
from django.utils.translation import gettext as _

from bearings.public import Units
from bearings.public_files import FOUND_SOMETHING, NOT_PROVEN, FileCommand, StackFileError, read_content
from repairs.measurements.readings_file import judge_file, parse_readings, readings_answer, readings_text

# What the shell is told of each verdict.
STATUS: Final = {"pass": 0, "noted": 0, "fail": FOUND_SOMETHING, "not_checked": NOT_PROVEN}


class Command(FileCommand):
    """check_readings FILE: status 0 pass, 1 fail, 2 file refused, 3 not checked, 70 the program failed."""

    help = _(
        "Check readings of shop tests from a readings file (JSON). Exit status 0: pass; 1: fail; 2: file refused; "
        "3: not checked."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the file and the form of the answer."""
        parser.add_argument("file", metavar="FILE", help=_("readings file, or - for standard input"))
        self.add_format(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, judge, answer."""
        as_json = options["format"] == "json"
        with self.failing_as_program():
            try:
                file = parse_readings(read_content(options["file"]))
            except StackFileError as error:
                self.refuse(error, as_json=as_json)
            answer = judge_file(file)
            if as_json:
                self.write_json(readings_answer(answer))
            else:
                self.write_text(readings_text(answer, cast(Units, settings.SHOP_UNITS)))
            status = STATUS[answer.verdict]
        if status:
            sys.exit(status)
