"""Check a stack file and say what was found."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import CommandParser
from django.utils.translation import gettext as _

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.management.stack_command import FOUND_SOMETHING, StackCommand
from bearings.text_answer import assessment_text


class Command(StackCommand):
    """check_stack FILE: status 0 without a stop, 1 with one, 2 when the file is refused."""

    help = _("Check a stack of bearings described by a stack file.")

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the file and the form of the answer."""
        parser.add_argument("file", metavar="FILE", help=_("stack file, or - for standard input"))
        self.add_format(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, check, answer."""
        as_json = options["format"] == "json"
        (stack,) = self.stacks([options["file"]], as_json=as_json)
        assessment = check_stack(stack)
        if as_json:
            self.write_json(assessment_answer(assessment))
        else:
            self.write_text(assessment_text(assessment))
        if assessment.stopped:
            sys.exit(FOUND_SOMETHING)
