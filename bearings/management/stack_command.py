"""What the commands on stack files share beside files: their stacks."""

from __future__ import annotations

from collections.abc import Sequence

from bearings.engineering.quantities import Stack
from bearings.management.file_command import FileCommand, read_content
from bearings.stack_file import StackFileError, parse_stack
from bearings.stack_file.mistakes import Mistake, mistake


class StackCommand(FileCommand):
    """A command that answers from stack files alone."""

    def stacks(self, names: Sequence[str], *, as_json: bool) -> list[Stack]:
        """Return the stacks of several files, or refuse with the mistakes of all of them."""
        stacks: list[Stack] = []
        mistakes: list[Mistake] = []
        for name in names:
            try:
                stacks.append(parse_stack(read_content(name)))
            except StackFileError as error:
                mistakes += [self.named(one, name) if len(names) > 1 else one for one in error.mistakes]
        if mistakes:
            self.refuse(StackFileError(tuple(mistakes)), as_json=as_json)
        return stacks

    def named(self, one: Mistake, name: str) -> Mistake:
        """Return a mistake whose message says in which file it is."""
        return Mistake(
            field=one.field, value=one.value, message=mistake("", None, f"{name}: {one.message}").message
        )
