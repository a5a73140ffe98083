"""Checks at the start: what would harm the shop's data or hide a missing library."""

from __future__ import annotations

import importlib
import os
import sqlite3
from typing import Any

from django.conf import settings
from django.core import checks
from django.core.checks import CheckMessage, Error, register
from django.db import connections
from django.db.migrations.recorder import MigrationRecorder

from repairs.edge.room import room_of
from repairs.frozen_tables import FROZEN
from repairs.ledger.frozen_rows import SINCE, is_open, missing
from repairs.sqlite import SAFE_SQLITE


@register("database")
def check_sqlite_version(**_kwargs: Any) -> list[CheckMessage]:
    """Refuse a SQLite that can corrupt a database with several writers."""
    if "sqlite3" not in settings.DATABASES["default"]["ENGINE"]:
        return []
    if sqlite3.sqlite_version_info >= SAFE_SQLITE:
        return []
    text = f"SQLite {sqlite3.sqlite_version} can corrupt a database in WAL mode when two processes write."
    hint = (
        "Install the pysqlite3 wheel (x86_64), use PostgreSQL by DATABASE_URL, "
        "or accept the risk with one process by MOUNTSIDE_OLD_SQLITE=1."
    )
    kind: type[Error] | type[checks.Warning] = (
        checks.Warning if os.environ.get("MOUNTSIDE_OLD_SQLITE") == "1" else Error
    )
    return [kind(text, hint=hint, id="mountside.E001")]


@register("room")
def check_room(**_kwargs: Any) -> list[CheckMessage]:
    """Warn of a disk that is nearly full, for a full one stops the shop."""
    room = room_of(settings.SHOP_FOLDER)
    if room is None or not room.is_low:
        return []
    text = f"The disk of {settings.SHOP_FOLDER} is nearly full: {room.free_gb:.1f} GB of {room.total_gb:.0f} GB free."
    hint = "Free up space or add a disk. When it is full, nothing can be saved."
    return [checks.Warning(text, hint=hint, id="mountside.W005")]


@register("documents")
def check_text_libraries(**_kwargs: Any) -> list[CheckMessage]:
    """Name the system package when the library that sets the papers' text cannot be loaded."""
    try:
        importlib.import_module("weasyprint")
    except OSError as error:
        hint = "Install the packages libpango-1.0-0 and libpangoft2-1.0-0, then start again."
        return [Error(f"Papers cannot be printed: {error}", hint=hint, id="mountside.E002")]
    return []


@register("database")
def check_frozen_rows(**told_by: Any) -> list[CheckMessage]:
    """Say where the database would let somebody change rows that are final."""
    told: list[CheckMessage] = []
    for connection in (connections[alias] for alias in told_by.get("databases") or ()):
        if SINCE not in MigrationRecorder(connection).applied_migrations():
            continue
        if tables := missing(connection, FROZEN):
            text = f"The database does not protect final records from changes in: {', '.join(tables)}."
            told.append(checks.Warning(text, hint="Run manage.py migrate again.", id="mountside.W003"))
        if is_open(connection):
            text = "The guard of final records is open: table ledger_guard must be empty."
            hint = "Find out who opened it, compare with a backup, then empty that table."
            told.append(checks.Warning(text, hint=hint, id="mountside.W004"))
    return told
