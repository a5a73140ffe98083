"""Let the database itself refuse to change, delete, empty or replace rows that are final, on SQLite and PostgreSQL.

Triggers hold for every way into the database, not for this program alone. They are no part of the tables' definition,
and SQLite loses them whenever a migration makes a table anew; so they are put on after every ``migrate``.

``ledger_guard`` is a table without a model and without rows. A row in it opens the frozen rows: see :func:`opened`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

from django.apps import apps
from django.db import models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder

SINCE: Final = ("ledger", "0004_frozen_rows")
CLOSED: Final = "NOT EXISTS (SELECT 1 FROM ledger_guard)"
FUNCTION: Final = """CREATE OR REPLACE FUNCTION frozen_row_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NOT EXISTS (SELECT 1 FROM ledger_guard) THEN
    RAISE EXCEPTION '% are never changed or deleted', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation';
  END IF;
  IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
  RETURN NEW;
END $$"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrozenRows:
    """Which rows of a model are final.

    ``when`` is a condition in SQL on one row, written ``{row}``; without it every row is final. ``changeable`` are
    fields that may still change. ``deletable`` rows may be taken away as a whole, which the ledger tells.
    """

    model: str
    when: str = "1 = 1"
    changeable: tuple[str, ...] = ()
    deletable: bool = False

    @property
    def table(self) -> str:
        return str(apps.get_model(self.model)._meta.db_table)

    @property
    def is_final_at_once(self) -> bool:
        return self.when == "1 = 1"

    def frozen(self, row: str) -> str:
        """Return the condition on one row, such as ``OLD``."""
        return f"({self.when.format(row=row)})"

    def columns(self) -> list[str]:
        """Return the columns that never change in a frozen row.

        Raises:
            LookupError: ``changeable`` names a field that the model does not have.
        """
        unknown = set(self.changeable) - {field.name for field in self._fields()}
        if unknown:
            raise LookupError(f"{self.model} has no field {sorted(unknown)}")
        return [str(field.column) for field in self._fields() if field.name not in self.changeable]

    def changeable_columns(self) -> list[str]:
        """Return the columns that may still change."""
        return [str(field.column) for field in self._fields() if field.name in self.changeable]

    def unique_keys(self) -> list[list[str]]:
        """Return the columns of every key by which a statement could put another row in a row's place."""
        meta = apps.get_model(self.model)._meta
        names = [[field.name] for field in self._fields() if field.unique]
        names += [list(one.fields) for one in meta.total_unique_constraints]
        return [[str(meta.get_field(name).column) for name in key] for key in names]

    def _fields(self) -> list[models.Field]:  # type: ignore[type-arg]
        return list(apps.get_model(self.model)._meta.concrete_fields)


def freeze(connection: BaseDatabaseWrapper, tables: Iterable[FrozenRows]) -> None:
    """Put the triggers on, in place of those that are there.

    Tables and columns that are not there are left out: a database may stand at an earlier migration than the models.
    """
    if SINCE not in MigrationRecorder(connection).applied_migrations():
        return
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        there = set(connection.introspection.table_names(cursor))
        _take_off(connection, cursor)
        if connection.vendor == "postgresql":
            cursor.execute(FUNCTION)
        make = _on_postgresql if connection.vendor == "postgresql" else _on_sqlite
        for frozen in tables:
            if frozen.table in there:
                described = connection.introspection.get_table_description(cursor, frozen.table)
                for statement in make(frozen, {column.name for column in described}):
                    cursor.execute(statement)


def thaw(connection: BaseDatabaseWrapper) -> None:
    """Take every trigger off: for the way back behind the migration that brought them."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        _take_off(connection, cursor)
        if connection.vendor == "postgresql":
            cursor.execute("DROP FUNCTION IF EXISTS frozen_row_refuse()")


def missing(connection: BaseDatabaseWrapper, tables: Iterable[FrozenRows]) -> list[str]:
    """Return the tables that lack a trigger which they must have."""
    with connection.cursor() as cursor:
        there = {name for name, _table in _triggers(connection, cursor)}
        known = set(connection.introspection.table_names(cursor))
    make = _on_postgresql if connection.vendor == "postgresql" else _on_sqlite
    wanted = {
        frozen.table: {_name_in(one) for one in make(frozen, set(frozen.columns()))} for frozen in tables
    }
    return sorted(table for table, names in wanted.items() if table in known and not names <= there)


def is_open(connection: BaseDatabaseWrapper) -> bool:
    """Whether a row in the guard's table lets everything through."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT COUNT(*) FROM ledger_guard")
        return bool(cursor.fetchone()[0])


@contextmanager
def opened(connection: BaseDatabaseWrapper) -> Iterator[None]:
    """Open the frozen rows for a migration that must touch them, and for nothing and nobody else.

    It needs a transaction around it, so that nobody else ever sees the guard open and a failure closes it again.
    """
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError("Open frozen rows inside a transaction only.")
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO ledger_guard (open) VALUES (4)")
        yield
        cursor.execute("DELETE FROM ledger_guard WHERE open = 4")


def _name_in(statement: str) -> str:
    return statement.split(maxsplit=3)[2]


def _on_sqlite(frozen: FrozenRows, there: set[str]) -> Iterator[str]:
    table, columns = frozen.table, [name for name in frozen.columns() if name in there]
    changed = " OR ".join(f'OLD."{name}" IS NOT NEW."{name}"' for name in columns)
    keys = [key for key in frozen.unique_keys() if there.issuperset(key)]
    same = " OR ".join("(" + " AND ".join(f'kept."{c}" = NEW."{c}"' for c in key) + ")" for key in keys)
    moved = " OR ".join(
        f'OLD."{name}" IS NOT NEW."{name}"' for name in sorted({c for key in keys for c in key})
    )
    taken = f'EXISTS (SELECT 1 FROM "{table}" AS kept WHERE {frozen.frozen("kept")} AND ({same})'
    refuse = f"BEGIN SELECT RAISE(ABORT, '{table} are never changed or deleted'); END"
    yield (
        f'CREATE TRIGGER frozen_{table}_update BEFORE UPDATE ON "{table}" '
        f"WHEN {frozen.frozen('OLD')} AND ({changed}) AND {CLOSED} {refuse}"
    )
    if not frozen.deletable:
        yield (
            f'CREATE TRIGGER frozen_{table}_delete BEFORE DELETE ON "{table}" '
            f"WHEN {frozen.frozen('OLD')} AND {CLOSED} {refuse}"
        )
    # REPLACE takes the row that is in the way without firing its delete trigger, so a key that is taken is refused
    # before. Whether SQLite fires that trigger hangs on a switch of each connection (recursive_triggers).
    yield f'CREATE TRIGGER frozen_{table}_insert BEFORE INSERT ON "{table}" WHEN {taken}) AND {CLOSED} {refuse}'
    yield (
        f'CREATE TRIGGER frozen_{table}_move BEFORE UPDATE ON "{table}" '
        f"WHEN ({moved}) AND {taken} AND kept.rowid <> OLD.rowid) AND {CLOSED} {refuse}"
    )


def _on_postgresql(frozen: FrozenRows, _there: set[str]) -> Iterator[str]:
    table = frozen.table
    # ON CONFLICT ... DO UPDATE fires the trigger of an update, so there is nothing like REPLACE to refuse.
    without = f"ARRAY[{', '.join(repr(name) for name in frozen.changeable_columns())}]::text[]"
    changed = f"(to_jsonb(OLD) - {without}) IS DISTINCT FROM (to_jsonb(NEW) - {without})"
    run = "EXECUTE FUNCTION frozen_row_refuse()"
    yield (
        f'CREATE TRIGGER frozen_{table}_update BEFORE UPDATE ON "{table}" FOR EACH ROW '
        f"WHEN ({frozen.frozen('OLD')} AND {changed}) {run}"
    )
    if not frozen.deletable:
        yield (
            f'CREATE TRIGGER frozen_{table}_delete BEFORE DELETE ON "{table}" FOR EACH ROW '
            f"WHEN ({frozen.frozen('OLD')}) {run}"
        )
    yield f'CREATE TRIGGER frozen_{table}_truncate BEFORE TRUNCATE ON "{table}" FOR EACH STATEMENT {run}'


def _triggers(connection: BaseDatabaseWrapper, cursor: object) -> list[tuple[str, str]]:
    """Return name and table of every trigger of ours."""
    if connection.vendor == "postgresql":
        words = (
            "SELECT t.tgname, c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid"
            " WHERE NOT t.tgisinternal AND t.tgenabled <> 'D' AND c.relnamespace = current_schema()::regnamespace"
        )
    else:
        words = "SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger'"
    cursor.execute(words)  # type: ignore[attr-defined]
    rows: list[tuple[str, str]] = cursor.fetchall()  # type: ignore[attr-defined]
    return [(name, table) for name, table in rows if name.startswith("frozen_")]


def _take_off(connection: BaseDatabaseWrapper, cursor: object) -> None:
    for name, table in _triggers(connection, cursor):
        on = f' ON "{table}"' if connection.vendor == "postgresql" else ""
        cursor.execute(f"DROP TRIGGER {name}{on}")  # type: ignore[attr-defined]
