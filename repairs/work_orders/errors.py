"""Refusals of the work orders; every message is fit to show to a person."""

from __future__ import annotations


class WorkOrderError(Exception):
    """A rule of the shop forbids this. ``field`` names the form's field when there is one."""

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class StaleVersionError(WorkOrderError):
    """Somebody else changed the row meanwhile; what was typed is still with its author."""
