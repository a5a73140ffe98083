"""Final rows, attacked from outside the program: the database refuses, on SQLite and PostgreSQL."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import DatabaseError, connection, models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.utils import timezone

from repairs import frozen_tables, system_checks
from repairs.documents.models import IssuedDocument
from repairs.frozen_tables import FROZEN
from repairs.ledger.frozen_rows import FrozenRows, freeze, missing, opened
from repairs.work_orders.models import StackRecord
from tests.repairs.factories import make_stack_record
from tests.repairs.final_rows import ROWS, document, event, seat, signed_record

pytestmark = [pytest.mark.django_db, pytest.mark.data]
SQLITE = connection.vendor == "sqlite"
BY_MODEL = {frozen.model: frozen for frozen in FROZEN}


@pytest.fixture(autouse=True)
def guard(db) -> None:
    """Close the guard, as it is in a shop, until the test's transaction is taken back."""
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM ledger_guard")


each = pytest.mark.parametrize("model", sorted(ROWS))


def run(statement: str, *values: Any) -> int:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement, values)
        return int(cursor.rowcount)


def refused(statement: str, *values: Any) -> None:
    with pytest.raises(DatabaseError, match="never changed or deleted"):
        run(statement, *values)


def whole(row: models.Model) -> dict[str, Any]:
    return type(row)._default_manager.filter(pk=row.pk).values().get()


def another_value(field: Any) -> str:
    """Return SQL for a value of the field's type that differs from what is stored."""
    if SQLITE:
        return "id + 100" if field.primary_key else "'something else'"
    kind = field.get_internal_type()
    words = {
        "BooleanField": f'NOT "{field.column}"',
        "DateTimeField": "now() + interval '1 day'",
        "DateField": "current_date + 9",
        "JSONField": """'{"else": 1}'::jsonb""",
        "CharField": "'e'",
        "TextField": "'else'",
    }
    return words.get(kind, f'COALESCE("{field.column}", 0) + 1')


def test_the_list_and_the_tests_know_the_same_tables():
    assert set(BY_MODEL) == set(ROWS)
    assert missing(connection, FROZEN) == []


@each
def test_no_column_of_a_final_row_changes(model):
    row, frozen = ROWS[model](), BY_MODEL[model]
    before = whole(row)
    for field in type(row)._meta.concrete_fields:
        if field.name in frozen.changeable:
            continue
        refused(
            f'UPDATE "{frozen.table}" SET "{field.column}" = {another_value(field)} WHERE id = %s', row.pk
        )
    assert whole(row) == before


@each
def test_what_may_still_change_does(model):
    row, frozen = ROWS[model](), BY_MODEL[model]
    for name in frozen.changeable:
        field = type(row)._meta.get_field(name)
        if field.is_relation:
            assert run(f'UPDATE "{frozen.table}" SET "{field.column}" = NULL WHERE id = %s', row.pk) == 1
            continue
        value = 7 if field.get_internal_type() == "PositiveIntegerField" else None
        value = timezone.now() if field.get_internal_type() == "DateTimeField" else value or "else"
        if name.startswith("accepted"):
            continue
        assert run(f'UPDATE "{frozen.table}" SET "{field.column}" = %s WHERE id = %s', value, row.pk) == 1


def test_a_seat_that_failed_is_accepted_once_signed():
    row = seat()
    words = "accepted_at = signed_at, accepted_name = 'L', accepted_reason = 'r', version = 2"
    assert run(f"UPDATE measurements_seatrecord SET {words} WHERE id = %s", row.pk) == 1


@each
def test_a_final_row_is_not_deleted(model):
    row, frozen = ROWS[model](), BY_MODEL[model]
    statement = f'DELETE FROM "{frozen.table}" WHERE id = %s'
    if frozen.deletable:
        assert run(statement, row.pk) == 1
    else:
        refused(statement, row.pk)
        refused(f'DELETE FROM "{frozen.table}"')


@each
@pytest.mark.skipif(not SQLITE, reason="REPLACE is SQLite's alone")
@pytest.mark.parametrize("switch", ["ON", "OFF"])
def test_no_row_takes_a_final_rows_place(model, switch):
    row, frozen = ROWS[model](), BY_MODEL[model]
    before = whole(row)
    columns = [field.column for field in type(row)._meta.concrete_fields]
    names = ", ".join(f'"{name}"' for name in columns)
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA recursive_triggers = {switch}")
    try:
        same = f'SELECT {names} FROM "{frozen.table}" WHERE id = %s'
        for verb in ("INSERT OR REPLACE", "REPLACE"):
            refused(f'{verb} INTO "{frozen.table}" ({names}) {same}', row.pk)
        refused(f'INSERT INTO "{frozen.table}" ({names}) {same} ON CONFLICT DO UPDATE SET id = 0', row.pk)
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA recursive_triggers = OFF")
    assert whole(row) == before


@pytest.mark.skipif(not SQLITE, reason="REPLACE is SQLite's alone")
def test_another_key_that_is_unique_does_not_take_a_final_rows_place_either():
    paper, other = document(), signed_record()
    new = "INSERT OR REPLACE INTO documents_issueddocument"
    columns = [
        f.column for f in IssuedDocument._meta.concrete_fields if f.column not in {"id", "content_hash"}
    ]
    names = ", ".join(columns)
    refused(
        f"{new} (content_hash, {names}) SELECT 'f', {names} FROM documents_issueddocument WHERE id = %s",
        paper.pk,
    )
    columns = [
        f.column for f in StackRecord._meta.concrete_fields if f.column not in {"id", "state", "signed_at"}
    ]
    names = ", ".join(columns)
    refused(
        f"INSERT OR REPLACE INTO work_orders_stackrecord (state, signed_at, {names})"
        f" SELECT 'draft', NULL, {names} FROM work_orders_stackrecord WHERE id = %s",
        other.pk,
    )


@pytest.mark.skipif(not SQLITE, reason="UPDATE OR REPLACE is SQLite's alone")
def test_no_open_row_is_moved_onto_a_final_one():
    final, draft = signed_record(), make_stack_record()
    before = whole(final)
    refused("UPDATE OR REPLACE work_orders_stackrecord SET id = %s WHERE id = %s", final.pk, draft.pk)
    refused(
        "UPDATE OR REPLACE work_orders_stackrecord SET job_id = %s, stage = %s, revision = %s WHERE id = %s",
        final.job_id, final.stage, final.revision, draft.pk,
    )  # fmt: skip
    assert whole(final) == before
    assert StackRecord.objects.filter(pk=draft.pk).exists()


@each
@pytest.mark.skipif(SQLITE, reason="SQLite has no TRUNCATE; its DELETE is tested")
def test_no_table_of_final_rows_is_emptied(model):
    ROWS[model]()
    # What the test itself put in would otherwise refuse before the trigger is asked.
    run("SET CONSTRAINTS ALL IMMEDIATE")
    refused(f'TRUNCATE "{BY_MODEL[model].table}" CASCADE')
    refused("TRUNCATE people_user CASCADE")


@each
@pytest.mark.skipif(SQLITE, reason="on SQLite tested with REPLACE")
def test_no_upsert_changes_a_final_row(model):
    row, frozen = ROWS[model](), BY_MODEL[model]
    names = ", ".join(f'"{field.column}"' for field in type(row)._meta.concrete_fields)
    field = next(f for f in type(row)._meta.concrete_fields if f.name not in {"id", *frozen.changeable})
    value = another_value(field).replace(f'"{field.column}"', f'"{frozen.table}"."{field.column}"')
    refused(
        f'INSERT INTO "{frozen.table}" ({names}) SELECT {names} FROM "{frozen.table}" WHERE id = %s'
        f' ON CONFLICT (id) DO UPDATE SET "{field.column}" = {value}',
        row.pk,
    )


def test_rows_that_are_not_final_yet_change_and_go():
    draft = make_stack_record()
    StackRecord.objects.filter(pk=draft.pk).update(note="more")
    assert run("UPDATE work_orders_stackrecord SET note = 'still more' WHERE id = %s", draft.pk) == 1
    open_seat = seat(signed_at=None)
    assert run("UPDATE measurements_seatrecord SET zone = 'k5' WHERE id = %s", open_seat.pk) == 1
    assert run("DELETE FROM measurements_seatrecord WHERE id = %s", open_seat.pk) == 1


def test_a_unique_key_that_two_send_at_once_still_answers_as_one():
    paper = document()
    with pytest.raises(DatabaseError), transaction.atomic():
        document(job_id=paper.job_id, code="OTHER")
    kept, is_new = IssuedDocument.objects.get_or_create(code="CODE1", defaults={})
    assert (kept.pk, is_new) == (paper.pk, False)


def test_a_migration_opens_final_rows_in_its_transaction_and_closes_them_again():
    row = event()
    with opened(connection):
        run("UPDATE ledger_event SET reason = 'set right' WHERE id = %s", row.pk)
    refused("UPDATE ledger_event SET reason = 'again' WHERE id = %s", row.pk)
    with pytest.raises(RuntimeError), transaction.atomic(), opened(connection):
        raise RuntimeError
    refused("UPDATE ledger_event SET reason = 'again' WHERE id = %s", row.pk)


def test_final_rows_are_not_opened_outside_a_transaction():
    outside = cast(BaseDatabaseWrapper, SimpleNamespace(in_atomic_block=False))
    with pytest.raises(transaction.TransactionManagementError), opened(outside):
        pass


def test_what_was_lost_is_named_and_put_on_again():
    table = BY_MODEL["ledger.Event"].table
    on = "" if SQLITE else f" ON {table}"
    run(f"DROP TRIGGER frozen_{table}_delete{on}")
    assert missing(connection, FROZEN) == [table]
    told = system_checks.check_frozen_rows(databases=["default"])
    assert [one.id for one in told] == ["mountside.W003"]
    freeze(connection, FROZEN)
    assert missing(connection, FROZEN) == []
    assert system_checks.check_frozen_rows(databases=["default"]) == []


def test_an_open_guard_is_told():
    run("INSERT INTO ledger_guard (open) VALUES (1)")
    assert [one.id for one in system_checks.check_frozen_rows(databases=["default"])] == ["mountside.W004"]


def test_a_field_that_does_not_exist_is_refused_by_name():
    with pytest.raises(LookupError, match="colour"):
        FrozenRows(model="ledger.Event", changeable=("colour",)).columns()


@pytest.mark.skipif(not SQLITE, reason="partial keys matter for REPLACE alone")
def test_no_partial_key_of_a_final_row_can_be_taken():
    """A key that holds for unsigned rows only is not in a final row's way; any other partial key would be."""
    partial = {
        f"{frozen.model} {one.name}"
        for frozen in FROZEN
        for one in apps.get_model(frozen.model)._meta.constraints
        if isinstance(one, models.UniqueConstraint) and one.condition is not None
    }
    assert partial == {
        "measurements.SeatRecord seat_one_unsigned",
        "work_orders.Override override_asked_once_a_step",
    }


def test_migrate_puts_the_triggers_on_and_emptying_tables_leaves_them(monkeypatch):
    asked = []
    monkeypatch.setattr(frozen_tables, "freeze", lambda connection, tables: asked.append(tables))
    call_command("migrate", verbosity=0)
    assert asked == [FROZEN]
    frozen_tables.freeze_after_migrate("default")
    assert asked == [FROZEN]
