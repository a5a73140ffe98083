"""One line of a stack record, as the record keeps it."""

from __future__ import annotations

from typing import Any, TypedDict


class Entry(TypedDict):
    """A part of the stack or a guide: the key that follows it, its rating in the book, its stack-file fields."""

    uid: str
    rating_id: int | None
    data: dict[str, Any]
