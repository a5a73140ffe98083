"""Which errors pass by themselves or once somebody tends the machine: nothing is wrong with what was sent."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from enum import StrEnum
from typing import Final


class Fault(StrEnum):
    """What holds the server up."""

    BUSY = "busy"
    FULL = "full"
    AWAY = "away"


_FULL_DISK: Final = {errno.ENOSPC, errno.EDQUOT}
# SQLite says why by a name; the names of its finer reasons begin with these.
_SQLITE: Final = {
    "SQLITE_BUSY": Fault.BUSY,
    "SQLITE_LOCKED": Fault.BUSY,
    "SQLITE_PROTOCOL": Fault.BUSY,
    "SQLITE_FULL": Fault.FULL,
    # Writing, growing and flushing the log and its index fail so on a full disk.
    "SQLITE_IOERR_WRITE": Fault.FULL,
    "SQLITE_IOERR_SHMSIZE": Fault.FULL,
    "SQLITE_IOERR_FSYNC": Fault.FULL,
    "SQLITE_CANTOPEN": Fault.AWAY,
}
# PostgreSQL's classes and codes of errors (appendix A of its manual): connection lost, out of resources, shut down
# or starting, a lock not had in time, two transactions in each other's way.
_POSTGRESQL: Final = {
    "08": Fault.AWAY,
    "53100": Fault.FULL,
    "53": Fault.BUSY,
    "57P": Fault.AWAY,
    "55P03": Fault.BUSY,
    "40001": Fault.BUSY,
    "40P01": Fault.BUSY,
}
# A connection that is refused for these reasons is refused for good: the installation is set up wrongly.
_SET_UP_WRONGLY: Final = ("authentication failed", "does not exist", "no pg_hba.conf entry", "no password")


def passing_fault(error: BaseException | None) -> Fault | None:
    """Return what passing fault stands behind an error, or None where it is an error of the program or of a value."""
    for one in _causes(error):
        if isinstance(one, OSError) and one.errno in _FULL_DISK:
            return Fault.FULL
        if fault := _of_sqlite(one) or _of_postgresql(one):
            return fault
    return None


def _causes(error: BaseException | None) -> Iterator[BaseException]:
    seen: set[int] = set()
    while error is not None and id(error) not in seen:
        seen.add(id(error))
        yield error
        error = error.__cause__


def _of_sqlite(error: BaseException) -> Fault | None:
    name = getattr(error, "sqlite_errorname", None) or ""
    return next((fault for start, fault in _SQLITE.items() if name.startswith(start)), None)


def _of_postgresql(error: BaseException) -> Fault | None:
    if not type(error).__module__.startswith("psycopg"):
        return None
    code = getattr(error, "sqlstate", None)
    if code is not None:
        return next((fault for start, fault in _POSTGRESQL.items() if code.startswith(start)), None)
    # The driver itself lost the connection, or got none.
    if type(error).__name__ not in {"OperationalError", "ConnectionTimeout", "PoolTimeout"}:
        return None
    return None if any(words in str(error) for words in _SET_UP_WRONGLY) else Fault.AWAY
