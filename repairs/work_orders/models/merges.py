"""Two records that turned out to be one motor or one customer."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class MergeQuerySet(models.QuerySet["Merge"]):
    def of(self, kind: str, kept_id: int) -> MergeQuerySet:
        """Merges into a record that were not undone, newest first."""
        return self.filter(kind=kind, kept_id=kept_id, undone_at__isnull=True).order_by("-pk")


class Merge(models.Model):
    """One merge. The merged record stays as it was, marked, and out of every list.

    ``moved`` holds the keys of what changed hands, with what each row said before, so that it can be undone.
    ``last_event`` is the newest event of the ledger at the merge: what was done later stands on it.
    """

    class Kind(models.TextChoices):
        MOTOR = "motor", _("motor")
        CUSTOMER = "customer", _("customer")

    kind = models.CharField(max_length=10, choices=Kind.choices)
    kept_id = models.PositiveBigIntegerField()
    merged_id = models.PositiveBigIntegerField()
    kept_name = models.CharField(max_length=160)
    merged_name = models.CharField(max_length=160)
    moved = models.JSONField(default=dict)
    last_event = models.PositiveBigIntegerField(default=0)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    undone_at = models.DateTimeField(null=True)
    undone_by_name = models.CharField(max_length=150, blank=True)

    objects = MergeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "merged_id"],
                condition=models.Q(undone_at__isnull=True),
                name="merged_once_at_a_time",
            )
        ]
        indexes = [models.Index(fields=["kind", "kept_id"], name="merge_kept")]

    def __str__(self) -> str:
        return f"{self.merged_name} → {self.kept_name}"
