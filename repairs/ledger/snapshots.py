"""Read many rows as they were at one moment, while others go on writing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection


@contextmanager
def one_snapshot() -> Iterator[None]:
    """Let everything that is read inside be of one moment; nobody waits for it, and nothing can be written in it.

    Django's own transactions take SQLite's write lock at once, so this one is opened by hand. Inside a transaction
    (a test's, a form's) that one already answers for the moment, and nothing is opened.
    """
    if connection.in_atomic_block:
        yield
        return
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
        else:
            cursor.execute("PRAGMA query_only=ON")
            cursor.execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            cursor.execute("ROLLBACK")
            if connection.vendor != "postgresql":
                cursor.execute("PRAGMA query_only=OFF")
