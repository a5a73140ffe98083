"""How often something that can be guessed was tried: one row for each name, address or browser that tries."""

from __future__ import annotations

from django.db import models


class TryCount(models.Model):
    """Tries of one kind by one key since ``since``; nothing here says who or whence, keys are digests.

    ``held_until`` is set by the try that was one too many and by no later one. ``next_at`` is when a held row takes
    its next single try, for limits that slow down instead of shutting.
    """

    kind = models.CharField(max_length=12)
    key = models.CharField(max_length=64)
    # The digest of the name to sign in with, so that a new password can put an end to what is held for it.
    account = models.CharField(max_length=64, blank=True, db_index=True)
    tries = models.PositiveIntegerField(default=0)
    since = models.DateTimeField()
    touched_at = models.DateTimeField(db_index=True)
    held_until = models.DateTimeField(null=True)
    next_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "key"], name="try_count_once")]

    def __str__(self) -> str:
        return f"{self.kind} {self.tries}"
