"""Every migration goes back and forward again over a shop's rows, on SQLite and PostgreSQL; final rows stay final."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations import Migration
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations import AddField, RemoveField

from bearings.models import Rating, RatingImport, Source
from repairs.customers.models import Customer
from repairs.frozen_tables import FROZEN, thaw_before_removal
from repairs.ledger.frozen_rows import missing
from repairs.ledger.models import Event
from tests.repairs.factories import make_customer, make_motor
from tests.repairs.test_frozen_rows import ROWS

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data]
SQLITE = connection.vendor == "sqlite"


@pytest.fixture(autouse=True)
def _closed_guard(transactional_db) -> Iterator[None]:
    """Close the guard as it is in a shop, and open it again for the emptying of the tables."""
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM ledger_guard")
    yield
    call_command("migrate", verbosity=0)
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO ledger_guard (open) VALUES (1)")


def first_states() -> list[tuple[str, str]]:
    """Return app and last ``initial`` migration of every app of ours, the last to be migrated first.

    The initial ones only make the tables, so nothing of a shop is left behind them.
    """
    loader = MigrationLoader(connection)
    plan = MigrationExecutor(connection).migration_plan(loader.graph.leaf_nodes(), clean_start=True)
    ours = [
        (one.app_label, one.name)
        for one, _back in plan
        if one.__module__.startswith(("repairs.", "bearings."))
    ]
    last = {
        app: max(name for label, name in ours if label == app and name.endswith("initial")) for app, _ in ours
    }
    return list(reversed(last.items()))


def counted() -> dict[str, int]:
    with connection.cursor() as cursor:
        counts = {}
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT COUNT(*) FROM "{table}"')
            counts[table] = cursor.fetchone()[0]
    return counts


def fill() -> None:
    """One final row of each kind, a merged customer, and an import that never came to its end."""
    for make in ROWS.values():
        make()
    make_motor(serial="ab 12-3")
    Customer.objects.update(merged_into=make_customer())
    source = Source.every.create(maker="Maker A (invented)", title="Broken off", edition="1", in_force=False)
    begun = RatingImport.objects.create(source=source, key="k", token="t")
    Rating.every.create(source=source, designation="7320", type="angular_contact_ball", imported_with=begun)


def test_every_migration_goes_back_and_forward_with_rows_in_the_tables():
    fill()
    full = counted()
    for app, name in first_states():
        call_command("migrate", app, name, verbosity=0)
    early = counted()
    assert len(early) < len(full)
    lost = {table: full[table] - count for table, count in early.items() if count != full[table]}
    lost.pop("django_migrations")
    # The unfinished import would have become part of the book.
    assert lost == {"bearings_source": 1, "bearings_rating": 1}
    call_command("migrate", verbosity=0)
    again = counted()
    assert again.keys() == full.keys()
    assert {table: again[table] for table in early if table not in lost} == {
        table: full[table] for table in early if table not in lost
    }
    assert missing(connection, FROZEN) == []
    with pytest.raises(DatabaseError, match="never changed or deleted"):
        Event.objects.all().update(reason="something else")


def test_final_rows_are_kept_at_an_earlier_migration_too():
    ROWS["ledger.Event"]()
    call_command("migrate", "work_orders", "0011_time_of_making", verbosity=0)
    assert missing(connection, FROZEN) == []
    with pytest.raises(DatabaseError, match="never changed or deleted"):
        Event.objects.all().update(reason="something else")


def test_a_migration_that_breaks_leaves_final_rows_kept(monkeypatch):
    def broken(*_args, **_kwargs):
        assert bool(missing(connection, FROZEN)) is SQLITE
        raise RuntimeError("broke on its way")

    with monkeypatch.context() as patched:
        patched.setattr(MigrationExecutor, "migrate", broken)
        with pytest.raises(RuntimeError, match="broke on its way"):
            call_command("migrate", "work_orders", "0011_time_of_making", verbosity=0)
    assert missing(connection, FROZEN) == []


@pytest.mark.skipif(not SQLITE, reason="no trigger is in the way of PostgreSQL")
def test_the_triggers_come_off_only_where_columns_go():
    adds, removes = Migration("adds", "site"), Migration("removes", "site")
    adds.operations = [AddField("x", "y", None)]
    removes.operations = [RemoveField("x", "y")]
    thaw_before_removal("default", plan=[(adds, False)])
    assert missing(connection, FROZEN) == []
    thaw_before_removal("default", plan=[(adds, False), (removes, False)])
    assert missing(connection, FROZEN)
