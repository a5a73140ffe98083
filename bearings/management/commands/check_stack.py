"""Check a stack file and say what was found."""

from __future__ import annotations

import sys
from typing import Any, Final

from django.core.management.base import CommandParser
from django.utils.translation import gettext as _

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.management.file_command import FOUND_SOMETHING, NOT_PROVEN
from bearings.management.stack_command import StackCommand
from bearings.text_answer import assessment_text

# What the shell is told of each verdict.
STATUS: Final = {"ok": 0, "warn": 0, "stop": FOUND_SOMETHING, "not_proven": NOT_PROVEN}


class Command(StackCommand):
    """check_stack FILE: status 0 ok or warn, 1 stop, 2 file refused, 3 not proven, 70 the program failed."""

    help = _("Check a bearing stack from a stack file.")

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the file and the form of the answer."""
        parser.add_argument("file", metavar="FILE", help=_("stack file, or - for standard input"))
        self.add_format(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, check, answer."""
        as_json = options["format"] == "json"
        (stack,) = self.stacks([options["file"]], as_json=as_json)
        with self.failing_as_program():
            assessment = check_stack(stack)
            if as_json:
                self.write_json(assessment_answer(assessment))
            else:
                self.write_text(assessment_text(assessment))
            status = STATUS[assessment.headline.verdict]
        if status:
            sys.exit(status)
