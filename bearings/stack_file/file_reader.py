"""Objects and lists of a JSON file, and everything that is wrong with them at once."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.stack_file.mistakes import Mistake, mistake, unknown_field
from bearings.stack_file.text import JsonObject
from bearings.wording.figures import grouped

MOST_NEAREST: Final = 100  # beyond so many mistakes, looking for the nearest names would only take time


class FileReader:
    """Reads one file and gathers its mistakes, so that all of them are reported together."""

    def __init__(self) -> None:
        self.mistakes: list[Mistake] = []

    def refuse(self, path: str, value: object, message: str) -> None:
        """Remember a mistake."""
        self.mistakes.append(mistake(path, value, message))

    def members(self, path: str, value: object, known: tuple[str, ...]) -> dict[str, object]:
        """Return a JSON object's values, refusing other types, unknown names and repeated keys."""
        if value is None:
            return {}
        if not isinstance(value, dict):
            self.refuse(path, value, _("Not an object. Accepted: an object in braces."))
            return {}
        below = f"{path}." if path else ""
        for name in value.repeated if isinstance(value, JsonObject) else ():
            self.refuse(below + name, value[name], _("Duplicate key. Keep one."))
        for name, content in value.items():
            if name not in known:
                self._unknown(below, str(name), content, known)
        return value

    def _unknown(self, below: str, name: str, content: object, known: tuple[str, ...]) -> None:
        if len(self.mistakes) < MOST_NEAREST:
            self.mistakes.append(unknown_field(below, name, content, known))
        else:
            self.refuse(below + name, content, _("Unknown field. Remove it."))

    def entries(self, path: str, value: object, most: int) -> list[object]:
        """Return the entries of a list, refusing other types and too many of them."""
        if value is None:
            return []
        if not isinstance(value, list):
            self.refuse(path, value, _("Not a list. Accepted: a list in square brackets."))
            return []
        if len(value) > most:
            message = _("Too many entries (%(count)s). Accepted: at most %(most)s.")
            self.refuse(
                path, f"{len(value)} entries", message % {"count": grouped(len(value)), "most": grouped(most)}
            )
            return []
        return value
