"""Which rows of the shop are final: one list, which the database enforces after every ``migrate``."""

from __future__ import annotations

from typing import Any, Final

from django.db import connections
from django.db.migrations import Migration
from django.db.migrations.operations import RemoveField

from repairs.ledger.frozen_rows import FrozenRows, freeze, thaw

FROZEN: Final = (
    FrozenRows(model="ledger.Event"),
    FrozenRows(model="documents.IssuedDocument"),
    FrozenRows(model="documents.PaperRevision"),
    FrozenRows(model="documents.ReportReview"),
    FrozenRows(model="documents.StartUpRecord"),
    FrozenRows(model="bearings.StoredAssessment"),
    FrozenRows(model="work_orders.StackRecord", when="{row}.state = 'signed'"),
    # Taken off an unsigned record when the stack changes under it; the second person comes later.
    FrozenRows(
        model="work_orders.AcceptedFinding",
        changeable=("second", "second_name", "second_at"),
        deletable=True,
    ),
    FrozenRows(model="work_orders.BearingLook"),
    FrozenRows(model="work_orders.Override", when="{row}.confirmed_at IS NOT NULL"),
    FrozenRows(model="work_orders.Pickup"),
    # One's own signature is undone as a whole; the ledger keeps both acts.
    FrozenRows(model="work_orders.SignOff", deletable=True),
    FrozenRows(
        model="motors.ThrustSheet",
        when="{row}.signed_at IS NOT NULL",
        changeable=("used_at", "version", "saved_at"),
    ),
    FrozenRows(model="measurements.Reading"),
    FrozenRows(model="measurements.TestRecord"),
    FrozenRows(model="measurements.Observation"),
    FrozenRows(model="measurements.RunRow"),
    FrozenRows(model="measurements.RunFactor"),
    FrozenRows(
        model="measurements.SeatRecord",
        when="{row}.signed_at IS NOT NULL",
        changeable=("accepted_at", "accepted_name", "accepted_reason", "version"),
    ),
)


def thaw_before_removal(using: str, plan: list[tuple[Migration, bool]] | None = None, **_told: Any) -> None:
    """Take the triggers off while columns go: SQLite removes no column that a trigger names.

    Going back removes what going forward added. On PostgreSQL no trigger is in the way.
    """
    goes = any(
        backwards or any(isinstance(operation, RemoveField) for operation in migration.operations)
        for migration, backwards in plan or ()
    )
    if goes and connections[using].vendor == "sqlite":
        thaw(connections[using])


def freeze_after_migrate(using: str, **told: Any) -> None:
    """Put the triggers on when ``migrate`` is done. Emptying tables, which tells no plan, leaves them as they are."""
    if "plan" in told:
        freeze(connections[using], FROZEN)
