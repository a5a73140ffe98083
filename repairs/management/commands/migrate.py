"""Migrate as Django does, and leave final rows kept even where a migration breaks."""

from __future__ import annotations

from typing import Any

from django.core.management.commands import migrate
from django.db import connections

from repairs.frozen_tables import FROZEN
from repairs.ledger.frozen_rows import freeze


class Command(migrate.Command):
    """The command that every start, update and way back of a shop runs."""

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            super().handle(*args, **options)
        except BaseException:
            # The end of the migrations puts the triggers on again, and this was not it.
            freeze(connections[options["database"]], FROZEN)
            raise
