"""Copy a database that people write to, by its engine's own means, and put such a copy in place."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from django.db import connection, transaction

from repairs.backups.manifest import BackupError
from repairs.documents.models import IssuedDocument
from repairs.photos.models import Photo

SQLITE: Final = "sqlite"
POSTGRESQL: Final = "postgresql"
SQLITE_FILE: Final = "database.sqlite3"
POSTGRESQL_FILE: Final = "database.dump"

# Columns that name files below the media folder. Each file is written before the row that names it.
FILE_COLUMNS: Final = (
    (Photo, ("original", "print_size", "thumbnail")),
    (IssuedDocument, ("file",)),
)
Ask = Callable[[str], Iterable[tuple[Any, ...]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class CopiedDatabase:
    """A copy of one moment: its rows by table, and the files that its rows name."""

    engine: str
    file: str
    rows: dict[str, int]
    named_files: frozenset[str]


def copy_database(folder: Path) -> CopiedDatabase:
    """Copy the shop's database into ``folder`` as it stands at one moment; nobody who writes has to wait."""
    if connection.vendor == SQLITE:
        source = Path(str(connection.settings_dict["NAME"]))
        target = folder / SQLITE_FILE
        copy_sqlite(source, target)
        rows, named = read_sqlite(target)
        return CopiedDatabase(engine=SQLITE, file=SQLITE_FILE, rows=rows, named_files=named)
    if connection.vendor == POSTGRESQL:
        return _dump_postgresql(folder / POSTGRESQL_FILE)
    raise BackupError(f"A {connection.vendor} database cannot be backed up here. Use its own tools.")


# ---------------------------------------------------------------------- SQLite
def copy_sqlite(source: Path, target: Path) -> None:
    """Copy a SQLite database by its online backup, all pages in one step: in WAL mode that holds up no writer."""
    target.touch(mode=0o600)
    live_uri = f"{source.absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(live_uri, uri=True)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)
        # The copy travels alone: everything in one file, nothing beside it.
        copy.execute("PRAGMA journal_mode=DELETE")
    with target.open("rb") as file:
        os.fsync(file.fileno())


def read_sqlite(path: Path) -> tuple[dict[str, int], frozenset[str]]:
    """Return rows by table and named files of a copy; raise :class:`BackupError` when it is damaged."""
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as copy:
        try:
            told = [row[0] for row in copy.execute("PRAGMA integrity_check")]
            if told != ["ok"]:
                raise BackupError(f"The database copy is damaged: {'; '.join(told[:3])}.")
            if broken := copy.execute("PRAGMA foreign_key_check").fetchone():
                raise BackupError(
                    f"The database copy is damaged: a record in {broken[0]} points to a missing record."
                )
            names = copy.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
            ).fetchall()
            return _rows(copy.execute, [name for (name,) in names]), _named_files(copy.execute)
        except sqlite3.DatabaseError as error:
            raise BackupError(f"The database copy is damaged: {error}.") from error


def _rows(ask: Ask, tables: list[str]) -> dict[str, int]:
    return {table: next(iter(ask(f'SELECT count(*) FROM "{table}"')))[0] for table in sorted(tables)}


def _named_files(ask: Ask) -> frozenset[str]:
    named: set[str] = set()
    for model, columns in FILE_COLUMNS:
        for name in columns:
            column = next(field.column for field in model._meta.concrete_fields if field.name == name)
            named.update(row[0] for row in ask(f'SELECT DISTINCT "{column}" FROM "{model._meta.db_table}"'))
    return frozenset(named - {"", None})


# ---------------------------------------------------------------------- PostgreSQL
def postgresql_tool(name: str) -> str:
    """Return the path of one of PostgreSQL's own programs, or say what to install."""
    found = shutil.which(name)
    if found is None:
        raise BackupError(
            f"{name} is not installed. Install the PostgreSQL client of your server's version "
            "(Debian and Ubuntu: apt-get install postgresql-client), then run this again."
        )
    return found


def _dump_postgresql(target: Path) -> CopiedDatabase:
    """Dump the database; counts and names are read in the dump's own snapshot, so they belong to it exactly."""
    program = postgresql_tool("pg_dump")
    target.touch(mode=0o600)
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")

        def ask(text: str) -> Iterable[tuple[Any, ...]]:
            return _asked(cursor, text)

        snapshot = next(iter(ask("SELECT pg_export_snapshot()")))[0]
        _run(
            [
                program,
                "--format=custom",
                "--no-owner",
                "--no-privileges",
                f"--snapshot={snapshot}",
                "--file",
                str(target),
            ]
        )
        rows, named = _rows(ask, postgresql_tables()), _named_files(ask)
    return CopiedDatabase(engine=POSTGRESQL, file=POSTGRESQL_FILE, rows=rows, named_files=named)


def _asked(cursor: Any, text: str) -> list[tuple[Any, ...]]:
    cursor.execute(text)
    return list(cursor.fetchall())


def postgresql_tables() -> list[str]:
    """Return the names of the connected database's tables."""
    with connection.cursor() as cursor:
        return [
            table.name
            for table in connection.introspection.get_table_list(cursor)
            if table.type in {"t", "p"}
        ]


def check_postgresql_dump(path: Path) -> None:
    """Have the dump's table of contents read; a cut file fails here."""
    _run([postgresql_tool("pg_restore"), "--list", str(path)])


def refuse_full_postgresql() -> None:
    """Refuse to restore into a database that holds tables already."""
    if tables := postgresql_tables():
        raise BackupError(
            f"The database in DATABASE_URL is not empty (it has {tables[0]}). Use an empty one."
        )


def restore_postgresql(path: Path) -> dict[str, int]:
    """Restore a dump into the connected, empty database, all of it or nothing, and return its rows by table."""
    refuse_full_postgresql()
    name = str(connection.settings_dict["NAME"])
    _run(
        [
            postgresql_tool("pg_restore"),
            *("--no-owner", "--no-privileges", "--exit-on-error", "--single-transaction"),
            *("--dbname", name, str(path)),
        ]
    )

    def ask(text: str) -> Iterable[tuple[Any, ...]]:
        with connection.cursor() as cursor:
            return _asked(cursor, text)

    return _rows(ask, postgresql_tables())


def _run(command: list[str]) -> None:
    """Run one of PostgreSQL's programs on the connected database; its password never shows in the process list."""
    kept = connection.settings_dict
    names = {
        "PGHOST": "HOST",
        "PGPORT": "PORT",
        "PGUSER": "USER",
        "PGPASSWORD": "PASSWORD",
        "PGDATABASE": "NAME",
    }
    told = {name: str(kept[key]) for name, key in names.items() if kept.get(key)}
    done = subprocess.run(
        command,
        env={**os.environ, **told},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise BackupError(f"{Path(command[0]).name} failed: {done.stderr.strip()[-500:]}")
