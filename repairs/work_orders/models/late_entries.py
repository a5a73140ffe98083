"""Entries of the bench that arrived after their step was signed, or after their job ended."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.route import Step


class LateEntryQuerySet(models.QuerySet["LateEntry"]):
    def open(self) -> LateEntryQuerySet:
        """Entries that nobody has settled yet, the oldest first."""
        return self.filter(settled_at__isnull=True).select_related("job", "step").order_by("id")

    def for_signer(self, person_id: int) -> LateEntryQuerySet:
        """What arrived for steps that a person had signed, until they have seen it."""
        return self.open().filter(why=LateEntry.Why.SIGNED, waits_for_id=person_id)

    def after_the_end(self) -> LateEntryQuerySet:
        """What arrived for jobs that had ended; a lead accepts it or sets it aside."""
        return self.open().filter(why=LateEntry.Why.ENDED)


class LateEntry(models.Model):
    """An entry of the bench that arrived after its step was signed, or after its job ended.

    The first kind is filed where it was made, and the row only tells the signer. The second kind waits: ``path``,
    ``fields`` and ``files`` hold the form as it came, until a lead accepts it or sets it aside.
    """

    class Why(models.TextChoices):
        SIGNED = "signed", _("arrived after the step was signed")
        ENDED = "ended", _("arrived after the job ended")

    class Outcome(models.TextChoices):
        OPEN = "", _("open")
        SEEN = "seen", _("seen")
        ACCEPTED = "accepted", _("accepted")
        SET_ASIDE = "set_aside", _("set aside")

    job = models.ForeignKey(Job, models.PROTECT, related_name="late_entries")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="late_entries")
    why = models.CharField(max_length=8, choices=Why.choices)
    words = models.CharField(max_length=400)
    author = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    author_name = models.CharField(max_length=150)
    device = models.CharField(max_length=80, blank=True)
    made_at = models.DateTimeField(null=True, blank=True)
    arrived_at = models.DateTimeField(auto_now_add=True)
    waits_for = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    key = models.CharField(max_length=64, blank=True)
    path = models.CharField(max_length=300, blank=True)
    fields = models.JSONField(default=list, blank=True)
    files = models.JSONField(default=list, blank=True)
    outcome = models.CharField(max_length=10, choices=Outcome.choices, default=Outcome.OPEN, blank=True)
    reason = models.CharField(max_length=400, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_name = models.CharField(max_length=150, blank=True)

    objects = LateEntryQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["author", "key"], condition=~models.Q(key=""), name="late_entry_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.job} {self.words}"
