"""Readings: a measured value against a limit, with the limit's source."""

from __future__ import annotations

from collections.abc import Collection

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models import Job, MadeAtBench, Step


class ReadingQuerySet(models.QuerySet["Reading"]):
    def standing(self) -> ReadingQuerySet:
        """Readings that no later one corrects, of tests that no later one corrects."""
        of_standing_test = models.Q(test__isnull=True) | models.Q(test__replaced_by__isnull=True)
        return self.filter(of_standing_test, replaced_by__isnull=True)

    def of_jobs(self, jobs: Collection[int]) -> ReadingQuerySet:
        """The rows of several jobs in the order in which they were made: one query."""
        return self.filter(job__in=jobs).order_by("id")

    def of_job(self, job: Job) -> ReadingQuerySet:
        """A job's readings in the order they were taken, each with its step: one query."""
        return self.filter(job=job).select_related("step").order_by("id")

    def out_of_limits(self) -> ReadingQuerySet:
        """Readings that failed."""
        return self.filter(verdict=Reading.Verdict.FAIL)


class Reading(MadeAtBench):
    """One measured value. Never changed: a correction is a new row that names the one it replaces."""

    class Verdict(models.TextChoices):
        PASS = "pass", _("pass")
        FAIL = "fail", _("fail")
        NOT_CHECKED = "not_checked", _("not checked")

    class Moment(models.TextChoices):
        AS_FOUND = "as_found", _("as found")
        AS_LEFT = "as_left", _("as left")

    job = models.ForeignKey(Job, models.PROTECT, related_name="readings")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="readings")
    moment = models.CharField(max_length=10, choices=Moment.choices, default=Moment.AS_FOUND)
    quantity = models.CharField(_("reading"), max_length=120)
    value = models.DecimalField(_("value"), max_digits=18, decimal_places=6)
    unit = models.CharField(_("unit"), max_length=20)
    limit_low = models.DecimalField(_("at least"), max_digits=18, decimal_places=6, null=True, blank=True)
    limit_high = models.DecimalField(_("at most"), max_digits=18, decimal_places=6, null=True, blank=True)
    limit_source = models.CharField(_("limit source"), max_length=160, blank=True)
    # Which reading of a gate this is; empty for what is written down besides. ``limit_by`` typed its limit.
    asked = models.CharField(max_length=20, blank=True)
    limit_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    # The test that this is a figure of; how sure its limit is, as the engine of tests says.
    test = models.ForeignKey(
        "measurements.TestRecord", models.PROTECT, null=True, blank=True, related_name="readings"
    )
    limit_sureness = models.CharField(max_length=16, blank=True)
    verdict = models.CharField(max_length=12, choices=Verdict.choices)
    instrument = models.CharField(_("instrument"), max_length=80, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")

    objects = ReadingQuerySet.as_manager()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.quantity} {self.value} {self.unit}"
