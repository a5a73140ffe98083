"""Runs of the re-check, and what each found changed."""

from __future__ import annotations

from typing import Any, Final

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from bearings.public import StoredAssessment
from repairs.long_work.models import LongWork
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, StackRecord

# The list of a run: what became stop first, then what lost most.
GRAVEST_FIRST: Final = ("-became_stop", "-is_worse", "margin_change", "pk")


class RecheckQuerySet(models.QuerySet["Recheck"]):
    def whole(self) -> RecheckQuerySet:
        """Runs over the whole shop, not those of one motor."""
        return self.filter(motor__isnull=True)

    def unfinished(self) -> RecheckQuerySet:
        return self.filter(finished_at__isnull=True, superseded_by__isnull=True)

    def listed(self) -> RecheckQuerySet:
        """Runs, newest first, with what their rows in a list say, in one query."""
        unseen = models.Count("changes", filter=models.Q(changes__seen_at=None, changes__replaced_by=None))
        return self.select_related("work", "motor", "superseded_by").annotate(unseen=unseen).order_by("-id")


class Recheck(models.Model):
    """One run: why, with which scope, how far, and the counts of what it found.

    ``reached`` is the key of the last record judged, so that an interrupted run goes on where it stopped.
    """

    class Why(models.TextChoices):
        POLICY = "policy", _("shop policy changed")
        EDITION = "edition", _("source has a new edition")
        RATING = "rating", _("rating changed")
        PLATE = "plate", _("nameplate changed")
        HAND = "hand", _("started by hand")

    why = models.CharField(max_length=10, choices=Why.choices)
    about = models.CharField(max_length=200, blank=True)
    jobs = models.BooleanField(default=True)
    motors = models.BooleanField(default=True)
    motor = models.ForeignKey(Motor, models.PROTECT, null=True, blank=True, related_name="rechecks")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    asked_by_name = models.CharField(max_length=150)
    asked_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True)
    superseded_by = models.ForeignKey("self", models.PROTECT, null=True, related_name="+")
    work = models.ForeignKey(LongWork, models.PROTECT, null=True, related_name="+")
    engine_version = models.CharField(max_length=20)
    book_event = models.PositiveBigIntegerField(default=0)
    reached = models.PositiveBigIntegerField(default=0)
    checked = models.PositiveIntegerField(default=0)
    changed = models.PositiveIntegerField(default=0)
    worse = models.PositiveIntegerField(default=0)
    became_stop = models.PositiveIntegerField(default=0)

    objects = RecheckQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(
                fields=["id"],
                condition=models.Q(finished_at__isnull=True, superseded_by__isnull=True),
                name="recheck_unfinished",
            )
        ]

    def __str__(self) -> str:
        return _("re-check {number}").format(number=self.pk)


class ChangeQuerySet(models.QuerySet["Change"]):
    def unseen(self) -> ChangeQuerySet:
        """Changes that nobody has seen and that no later run has replaced."""
        return self.filter(seen_at__isnull=True, replaced_by__isnull=True)

    def told(self) -> ChangeQuerySet:
        """Changes that a job or a motor must say on its page."""
        return self.unseen().filter(told=True)

    def gravest_first(self) -> ChangeQuerySet:
        change = models.F("margin_after") - models.F("margin_before")
        rows = self.annotate(margin_change=change)
        stop, worse, margin, pk = GRAVEST_FIRST
        return rows.order_by(stop, worse, models.F(margin).asc(nulls_first=True), pk)

    def with_names(self) -> ChangeQuerySet:
        """Changes with the job, motor, customer and stage that a row names."""
        return self.select_related("job", "motor__customer", "record", "recheck")


class Change(models.Model):
    """One signed stack whose outcome changed, from what to what.

    ``told`` says that boards and pages of jobs and motors must tell of it until somebody has seen it: it became
    stop, or its plate changed since. ``before`` is what was stored with the record, ``after`` a new assessment with
    the inputs of the run's day. ``appeared`` and ``gone`` list stops and warnings that only one of the two has, as
    [severity, code, ref]. ``renewals`` lists the bearings whose figures the book changed, ``inputs`` what
    else went in differently.
    """

    recheck = models.ForeignKey(Recheck, models.PROTECT, related_name="changes")
    record = models.ForeignKey(StackRecord, models.PROTECT, related_name="changes")
    job = models.ForeignKey(Job, models.PROTECT, related_name="changes")
    motor = models.ForeignKey(Motor, models.PROTECT, related_name="changes")
    in_service = models.BooleanField(default=False)
    before = models.ForeignKey(StoredAssessment, models.PROTECT, null=True, related_name="+")
    after = models.ForeignKey(StoredAssessment, models.PROTECT, null=True, related_name="+")
    margin_before = models.FloatField(null=True)
    margin_after = models.FloatField(null=True)
    speed_before = models.CharField(max_length=12, blank=True)
    speed_after = models.CharField(max_length=12, blank=True)
    l10h_before = models.FloatField(null=True)
    l10h_after = models.FloatField(null=True)
    l10mh_before = models.FloatField(null=True)
    l10mh_after = models.FloatField(null=True)
    worst_before = models.CharField(max_length=10, blank=True)
    worst_after = models.CharField(max_length=10, blank=True)
    became_stop = models.BooleanField(default=False)
    is_worse = models.BooleanField(default=False)
    told = models.BooleanField(default=False)
    appeared = models.JSONField(default=list)
    gone = models.JSONField(default=list)
    renewals = models.JSONField(default=list)
    inputs = models.JSONField(default=list)
    hindrances = models.JSONField(default=list)
    seen_at = models.DateTimeField(null=True)
    seen_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    seen_by_name = models.CharField(max_length=150, blank=True)
    note = models.CharField(_("action taken"), max_length=300, blank=True)
    replaced_by = models.ForeignKey(Recheck, models.PROTECT, null=True, related_name="+")

    objects = ChangeQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["recheck", "record"], name="change_once_per_run")]
        indexes = [
            models.Index(
                fields=["job"],
                condition=models.Q(told=True, seen_at__isnull=True, replaced_by__isnull=True),
                name="change_told_job",
            ),
            models.Index(
                fields=["motor"],
                condition=models.Q(told=True, seen_at__isnull=True, replaced_by__isnull=True),
                name="change_told_motor",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.recheck_id} {self.record_id}"

    @property
    def is_open(self) -> bool:
        return self.seen_at is None and self.replaced_by_id is None

    @property
    def renewed(self) -> list[tuple[str, str, Any, Any]]:
        """Ref, field, old and new figure of every bearing that the book changed."""
        return [
            (row["ref"], name, old, new)
            for row in self.renewals
            for name, (old, new) in row["changes"].items()
        ]
