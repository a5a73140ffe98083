"""Put a SQLite that is safe under concurrent writers in place of the interpreter's own.

SQLite 3.7.0 to 3.51.2 can corrupt a database in WAL mode when two connections write and checkpoint at
the same moment (sqlite.org/wal.html, "walresetbug"); two server processes are enough for that.
"""

from __future__ import annotations

import importlib
import sys
from typing import Final

SAFE_SQLITE: Final = (3, 51, 3)


def use_safe_sqlite() -> None:
    """Make ``import sqlite3`` mean pysqlite3, where its wheel exists; call before Django touches a database."""
    try:
        pysqlite3 = importlib.import_module("pysqlite3")
    except ImportError:
        return
    sys.modules["sqlite3"] = pysqlite3
    sys.modules["sqlite3.dbapi2"] = importlib.import_module("pysqlite3.dbapi2")
