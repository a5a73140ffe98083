"""Mistakes of a stack file: where, what was found, and what is accepted instead."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from math import isfinite
from typing import Final

from django.utils.translation import gettext as _

from bearings.stack_file.specs import LONGEST_TEXT, FieldSpec
from bearings.wording.figures import plain, sign_of, with_sign

LONGEST_ECHO: Final = 80
LONGEST_PATH: Final = 120
JsonValue = str | int | float | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One mistake: path of the field, the value found (fit for JSON), and a sentence."""

    field: str
    value: JsonValue
    message: str

    def as_dict(self) -> dict[str, JsonValue]:
        """Return the mistake as the answer of a refusal holds it."""
        return {"field": self.field, "value": self.value, "message": self.message}


class StackFileError(ValueError):
    """A stack file was refused; ``mistakes`` holds everything that is wrong with it."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("; ".join(f"{one.field}: {one.message}" for one in mistakes))
        self.mistakes = mistakes


def echo(value: object) -> JsonValue:
    """Return a value as a refusal may repeat it: short, finite and without nesting."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int):
        return value if abs(value) < 10**20 else f"{str(value)[:20]}..."
    if isinstance(value, float):
        if isfinite(value):
            return value
        return "NaN" if value != value else "-Infinity" if value < 0 else "Infinity"
    if isinstance(value, str):
        kept = value if len(value) <= LONGEST_ECHO else value[:LONGEST_ECHO] + "..."
        return kept.encode("utf-8", "replace").decode("utf-8")
    if isinstance(value, dict):
        return _("(an object)")
    return _("(a list)") if isinstance(value, list) else str(value)[:LONGEST_ECHO]


def printable(name: str) -> str:
    """Return a name that can be written anywhere, cut where it is longer than any field's path."""
    kept = name if len(name) <= LONGEST_PATH else name[:LONGEST_PATH] + "..."
    return kept.encode("utf-8", "replace").decode("utf-8")


def mistake(field: str, value: object, message: str) -> Mistake:
    """Return a mistake that repeats the value found."""
    return Mistake(field=printable(field), value=echo(value), message=message)


def bound(number: float | None) -> str:
    """Return a bound as people of this shop write it."""
    return "" if number is None else plain(number)


def accepted(spec: FieldSpec) -> str:
    """Return what a field accepts, in words."""
    if spec.kind == "choice":
        return _("Accepted: %(choices)s.") % {"choices": ", ".join(f'"{one}"' for one in spec.choices)}
    if spec.kind == "boolean":
        return _("Accepted: true or false.")
    if spec.kind == "list":
        return _("Accepted: a list of at most %(most)s entries.") % {"most": bound(spec.maximum)}
    if spec.kind == "text":
        return _("Accepted: text of at most %(length)s characters.") % {"length": plain(LONGEST_TEXT)}
    words = {
        "low": bound(spec.minimum),
        "high": bound(spec.maximum),
        "unit": with_sign("", sign_of(spec.unit)),
    }
    if spec.kind == "integer":
        return _("Accepted: a whole number from %(low)s to %(high)s.") % words
    return _("Accepted: a number from %(low)s to %(high)s%(unit)s.") % words


def unknown_field(below: str, name: str, value: object, known: tuple[str, ...]) -> Mistake:
    """Return the mistake of a field that does not exist, with the nearest name that does."""
    nearest = get_close_matches(name[:LONGEST_ECHO], known, n=1, cutoff=0.0)
    message = _('Unknown field. Closest name: "%(nearest)s".') % {
        "nearest": nearest[0] if nearest else known[0]
    }
    return mistake(below + name, value, message)
