"""Refusals of the work orders; every message is fit to show to a person."""

from __future__ import annotations


class WorkOrderError(Exception):
    """A rule of the shop forbids this. ``field`` names the form's field when there is one."""

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class AnothersEntryError(WorkOrderError):
    """Somebody else made this entry. ``entry_id`` names it, to be sent along by whoever means to take it off."""

    def __init__(self, message: str, entry_id: int) -> None:
        super().__init__(message)
        self.entry_id = entry_id


class StaleVersionError(WorkOrderError):
    """Somebody else changed the row meanwhile; what was typed is still with its author."""
