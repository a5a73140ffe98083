"""Let the database itself refuse to change or delete an event.

``ledger_guard`` is a table without a model: an installation leaves it empty. The tests put a row into it,
because they must be able to empty their tables.
"""

from django.db import migrations

SQLITE = [
    "CREATE TABLE ledger_guard (open integer NOT NULL)",
    """CREATE TRIGGER ledger_event_no_update BEFORE UPDATE ON ledger_event
       WHEN NOT EXISTS (SELECT 1 FROM ledger_guard)
       BEGIN SELECT RAISE(ABORT, 'events are never changed'); END""",
    """CREATE TRIGGER ledger_event_no_delete BEFORE DELETE ON ledger_event
       WHEN NOT EXISTS (SELECT 1 FROM ledger_guard)
       BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END""",
]
SQLITE_BACK = [
    "DROP TRIGGER ledger_event_no_delete",
    "DROP TRIGGER ledger_event_no_update",
    "DROP TABLE ledger_guard",
]
POSTGRESQL = [
    "CREATE TABLE ledger_guard (open integer NOT NULL)",
    """CREATE FUNCTION ledger_event_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
       BEGIN
         IF NOT EXISTS (SELECT 1 FROM ledger_guard) THEN
           RAISE EXCEPTION 'events are never changed or deleted';
         END IF;
         IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
         RETURN NEW;
       END $$""",
    """CREATE TRIGGER ledger_event_no_change BEFORE UPDATE OR DELETE ON ledger_event
       FOR EACH ROW EXECUTE FUNCTION ledger_event_refuse()""",
    """CREATE TRIGGER ledger_event_no_truncate BEFORE TRUNCATE ON ledger_event
       FOR EACH STATEMENT EXECUTE FUNCTION ledger_event_refuse()""",
]
POSTGRESQL_BACK = [
    "DROP TRIGGER ledger_event_no_truncate ON ledger_event",
    "DROP TRIGGER ledger_event_no_change ON ledger_event",
    "DROP FUNCTION ledger_event_refuse()",
    "DROP TABLE ledger_guard",
]


def _run(schema_editor, on_sqlite, on_postgresql):
    for statement in on_postgresql if schema_editor.connection.vendor == "postgresql" else on_sqlite:
        schema_editor.execute(statement)


def guard(apps, schema_editor):
    _run(schema_editor, SQLITE, POSTGRESQL)


def unguard(apps, schema_editor):
    _run(schema_editor, SQLITE_BACK, POSTGRESQL_BACK)


class Migration(migrations.Migration):
    dependencies = [("ledger", "0002_initial")]
    operations = [migrations.RunPython(guard, unguard)]
