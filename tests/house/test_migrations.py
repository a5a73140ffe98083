"""The migrations say what the models say, and can be taken back."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations.special import RunPython, RunSQL

OURS = {
    "bearings",
    "customers",
    "documents",
    "ledger",
    "long_work",
    "measurements",
    "motors",
    "people",
    "photos",
    "rechecks",
    "work_orders",
}


@pytest.mark.django_db
def test_no_change_of_a_model_lacks_its_migration():
    out = StringIO()
    call_command("makemigrations", "--check", "--dry-run", stdout=out)
    assert "No changes detected" in out.getvalue()


def test_every_migration_can_be_taken_back_and_has_a_name():
    loader = MigrationLoader(None, ignore_no_migrations=True)
    for (app, name), migration in loader.disk_migrations.items():
        if app not in OURS:
            continue
        assert "_auto_" not in name
        for operation in migration.operations:
            if isinstance(operation, (RunPython, RunSQL)):
                assert operation.reversible, f"{app} {name}"
