"""What is wrong or doubtful in a rating file: where, which value, why, and what is accepted."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Final

LONGEST_ECHO: Final = 60


@dataclass(frozen=True, slots=True)
class LineNote:
    """One remark on a file: the line as a spreadsheet counts it (0: the whole file), column, value found, sentence."""

    line: int
    column: str
    value: str
    message: str

    def as_dict(self) -> dict[str, Any]:
        """Return the remark as a report keeps it."""
        return asdict(self)


class BookFileError(ValueError):
    """A rating file cannot be read as such; ``notes`` holds everything that is wrong with it."""

    def __init__(self, *notes: LineNote) -> None:
        super().__init__("; ".join(one.message for one in notes))
        self.notes = notes


def note(line: int, column: str, value: str, message: str) -> LineNote:
    """Return a remark that repeats the value, short and without signs that cannot be stored."""
    kept = value if len(value) <= LONGEST_ECHO else value[:LONGEST_ECHO] + "…"
    kept = kept.replace("\0", "␀").encode("utf-8", "replace").decode("utf-8")
    return LineNote(line, column, kept, message)
