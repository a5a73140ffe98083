"""Compare the stack found with the stack built."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import CommandParser
from django.utils.translation import gettext as _

from bearings.answer import comparison_answer
from bearings.engineering.comparison import compare
from bearings.management.file_command import FOUND_SOMETHING, NOT_PROVEN, STANDARD_INPUT
from bearings.management.stack_command import StackCommand
from bearings.stack_file import StackFileError
from bearings.stack_file.mistakes import mistake
from bearings.text_answer import comparison_text


class Command(StackCommand):
    """compare_stacks FOUND BUILT: status 0 same, 1 a difference, 2 file refused, 3 only not shown."""

    help = _("Compare the stack as found with the stack as built.")

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the two files and the form of the answer."""
        parser.add_argument("found", metavar="FOUND", help=_("stack file as found, or -"))
        parser.add_argument("built", metavar="BUILT", help=_("stack file as built, or -"))
        self.add_format(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        """Read both, compare, answer."""
        as_json = options["format"] == "json"
        names = [options["found"], options["built"]]
        if names == [STANDARD_INPUT, STANDARD_INPUT]:
            message = _("Only one of the two files can be standard input.")
            self.refuse(StackFileError((mistake("arguments", "- -", message),)), as_json=as_json)
        found, built = self.stacks(names, as_json=as_json)
        with self.failing_as_program():
            comparison = compare(found, built)
            if as_json:
                self.write_json(comparison_answer(comparison))
            else:
                self.write_text(comparison_text(comparison))
        if comparison.only_not_shown:
            sys.exit(NOT_PROVEN)
        if not comparison.same:
            sys.exit(FOUND_SOMETHING)
