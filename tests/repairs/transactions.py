"""Sees that what belongs together is written together: a write outside a transaction stays when the next one fails."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection

WRITES = ("INSERT", "UPDATE", "DELETE")


@contextmanager
def written_together() -> Iterator[None]:
    """Fail at the first write that no transaction of the code itself encloses; that of the test does not count."""
    outside = len(connection.savepoint_ids)

    def judge(execute: Any, sql: str, *given: Any) -> Any:
        if sql.lstrip().startswith(WRITES):
            assert len(connection.savepoint_ids) > outside, f"written outside a transaction: {sql[:120]}"
        return execute(sql, *given)

    with connection.execute_wrapper(judge):
        yield
