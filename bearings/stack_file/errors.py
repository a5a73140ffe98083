"""Refusals of a stack file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One thing that is wrong: where, what stands there, and what is accepted."""

    field: str
    value: Any
    message: str

    def as_dict(self) -> dict[str, Any]:
        """Return the mistake as it stands in a JSON answer; a value that is too long is cut."""
        value = self.value
        if isinstance(value, str) and len(value) > 200:
            value = value[:200] + "…"
        elif isinstance(value, float) and (value != value or value in (float("inf"), float("-inf"))):
            value = str(value)
        elif isinstance(value, (list, dict)):
            value = f"{type(value).__name__} of {len(value)}"
        elif isinstance(value, int) and not isinstance(value, bool) and abs(value) > 10**30:
            value = "a whole number of more than 30 digits"
        return {"field": self.field, "value": value, "message": self.message}


class StackFileError(ValueError):
    """The file is refused; ``mistakes`` names all of them."""

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        self.mistakes = tuple(mistakes)
        super().__init__("; ".join(f"{m.field}: {m.message}" for m in self.mistakes))
