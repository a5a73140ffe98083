"""What the commands on files share: arguments, reading, refusals, one JSON document on standard output."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final, NoReturn

from django.core.management.base import BaseCommand, CommandParser
from django.utils.translation import gettext as _

from bearings.answer import refusal_answer
from bearings.stack_file import StackFileError
from bearings.stack_file.mistakes import mistake
from bearings.stack_file.specs import MOST_BYTES

FOUND_NOTHING: Final = 0
FOUND_SOMETHING: Final = 1
REFUSED: Final = 2
NOT_PROVEN: Final = 3
FAULT_OF_THE_PROGRAM: Final = 70  # EX_SOFTWARE of sysexits.h: no verdict
STANDARD_INPUT: Final = "-"


def wants_json(arguments: Sequence[str]) -> bool:
    """Whether a command line asks for JSON, however wrong the rest of it is."""
    joined = " ".join(arguments)
    return "--format=json" in arguments or "--format json" in joined


def read_content(name: str) -> bytes:
    """Return a file's bytes, of standard input for ``-``, and one more than is accepted at most."""
    if name == STANDARD_INPUT:
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    try:
        with Path(name).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        message = _("File not found. Enter the name of a file, or - for standard input.")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        message = _("File cannot be read: %(reason)s.") % {"reason": reason}
    raise StackFileError((mistake("file", name, message),))


class FileCommand(BaseCommand):
    """A command that answers from files alone: no database, no checks of the installation."""

    requires_system_checks = ()

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        """Return the parser with refusals of our own: exit status 2, as JSON where JSON is asked for."""
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        arguments = sys.argv[2:]

        def refuse(message: str) -> NoReturn:
            wrong = mistake("arguments", " ".join(arguments), message)
            self.refuse(StackFileError((wrong,)), as_json=wants_json(arguments), usage=parser.format_usage())

        if getattr(self, "_called_from_command_line", False):
            parser.error = refuse  # type: ignore[method-assign]
        return parser

    def add_format(self, parser: CommandParser) -> None:
        """Add the option that chooses between text and JSON."""
        parser.add_argument(
            "--format", choices=("text", "json"), default="text", help=_("output format (default: text)")
        )

    def refuse(self, error: StackFileError, *, as_json: bool, usage: str = "") -> NoReturn:
        """Write what is wrong with the input and end with status 2."""
        if as_json:
            self.write_json(refusal_answer(error))
        else:
            lines = [f"{one.field}: {one.message} ({one.value!r})" for one in error.mistakes]
            self.write_error("\n".join([*([usage.rstrip()] if usage else []), *lines]))
        sys.exit(REFUSED)

    @contextmanager
    def failing_as_program(self) -> Iterator[None]:
        """Turn whatever fails, writing the answer too, into a status that is no verdict."""
        try:
            yield
            sys.stdout.flush()
        except Exception as error:
            words = _("The program failed on this file (%(kind)s). This is not a verdict.")
            with suppress(OSError, ValueError):
                self.write_error(words % {"kind": type(error).__name__})
            # Not sys.exit: on its way out the interpreter would try the output that failed once more, and say 120.
            os._exit(FAULT_OF_THE_PROGRAM)

    def write_json(self, answer: dict[str, object]) -> None:
        """Write one JSON document, in ASCII so that no terminal's encoding can spoil it."""
        self.stdout.write(json.dumps(answer, allow_nan=False, indent=1))

    def write_text(self, text: str) -> None:
        """Write text, with signs that the terminal does not know replaced."""
        self._write(self.stdout.write, text, sys.stdout)

    def write_error(self, text: str) -> None:
        """Write a refusal to standard error."""
        self._write(self.stderr.write, text, sys.stderr)

    def _write(self, write: Callable[[str], None], text: str, stream: Any) -> None:
        encoding = getattr(stream, "encoding", None) or "utf-8"
        write(text.encode(encoding, "replace").decode(encoding))
