"""Keep slow work out of write transactions: whoever decodes a picture or renders a paper there is stopped."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from django.db import connections

_alone: ContextVar[bool] = ContextVar("alone_on_the_database", default=False)


class SlowWorkError(RuntimeError):
    """Slow work was begun while a transaction is open; a fault of the code, never of what a person entered."""


@contextmanager
def alone_on_the_database() -> Iterator[None]:
    """Allow slow work inside a transaction, because nobody else uses this database yet."""
    token = _alone.set(True)
    try:
        yield
    finally:
        _alone.reset(token)


def outside_transaction(what: str) -> None:
    """Raise SlowWorkError when this thread has a transaction open; ``what`` names the work.

    On SQLite an open transaction holds the one write lock, on PostgreSQL the rows that it touched: the whole shop
    would wait for a picture. The transaction that a test case wraps around a test is not counted.
    """
    if _alone.get():
        return
    for connection in connections.all(initialized_only=True):
        # Django's own durable=True looks at the same marks.
        if any(not block._from_testcase for block in connection.atomic_blocks):  # type: ignore[attr-defined]
            raise SlowWorkError(
                f"{what} was begun inside a transaction. Do it before: in the 'prepare' of carry_out_once()."
            )
