"""Hand the triggers on events over to the one list of frozen rows, which ``migrate`` puts on when it is done."""

from importlib import import_module

from django.db import migrations

from repairs.ledger.frozen_rows import thaw

former = import_module("repairs.ledger.migrations.0003_append_only")


def take_former_off(apps, schema_editor):
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute("DROP TRIGGER IF EXISTS ledger_event_no_truncate ON ledger_event")
        schema_editor.execute("DROP TRIGGER IF EXISTS ledger_event_no_change ON ledger_event")
        schema_editor.execute("DROP FUNCTION IF EXISTS ledger_event_refuse()")
    else:
        schema_editor.execute("DROP TRIGGER IF EXISTS ledger_event_no_delete")
        schema_editor.execute("DROP TRIGGER IF EXISTS ledger_event_no_update")


def put_former_on(apps, schema_editor):
    thaw(schema_editor.connection)
    # The guard's table was made by the first statement and is there still.
    former._run(schema_editor, former.SQLITE[1:], former.POSTGRESQL[1:])


class Migration(migrations.Migration):
    dependencies = [("ledger", "0003_append_only")]
    operations = [migrations.RunPython(take_former_off, put_former_on)]
