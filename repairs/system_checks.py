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
from django.utils.translation import gettext as _

from bearings.public import grouped
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
    text = _("SQLite {version} can corrupt a database in WAL mode when two processes write.").format(
        version=sqlite3.sqlite_version
    )
    hint = _(
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
    words = _("The disk of {folder} is nearly full: {free} GB of {total} GB free.")
    text = words.format(
        folder=settings.SHOP_FOLDER, free=grouped(room.free_gb, 1), total=grouped(room.total_gb)
    )
    hint = _("Free up space or add a disk. When it is full, nothing can be saved.")
    return [checks.Warning(text, hint=hint, id="mountside.W005")]


@register("documents")
def check_text_libraries(**_kwargs: Any) -> list[CheckMessage]:
    """Name the system package when the library that sets the papers' text cannot be loaded."""
    try:
        importlib.import_module("weasyprint")
    except OSError as error:
        hint = _("Install the packages libpango-1.0-0 and libpangoft2-1.0-0, then start again.")
        text = _("Papers cannot be printed: {error}").format(error=error)
        return [Error(text, hint=hint, id="mountside.E002")]
    return []


@register("database")
def check_frozen_rows(**told_by: Any) -> list[CheckMessage]:
    """Say where the database would let somebody change rows that are final."""
    told: list[CheckMessage] = []
    for connection in (connections[alias] for alias in told_by.get("databases") or ()):
        if SINCE not in MigrationRecorder(connection).applied_migrations():
            continue
        if tables := missing(connection, FROZEN):
            words = _("The database does not protect final records from changes in: {tables}.")
            text = words.format(tables=", ".join(tables))
            told.append(checks.Warning(text, hint=_("Run manage.py migrate again."), id="mountside.W003"))
        if is_open(connection):
            text = _("The guard of final records is open: table ledger_guard must be empty.")
            hint = _("Find out who opened it, compare with a backup, then empty that table.")
            told.append(checks.Warning(text, hint=hint, id="mountside.W004"))
    return told
