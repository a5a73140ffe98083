"""Readings of a run while it goes on, and factors that a shop learned from its runs."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models import Job, MadeAtBench, Step


class RunRowQuerySet(models.QuerySet["RunRow"]):
    def standing(self) -> RunRowQuerySet:
        """Rows that no later one strikes out."""
        return self.filter(struck_by__isnull=True, strikes__isnull=True)

    def of_run(self, step: Step, run: int) -> RunRowQuerySet:
        """The rows of a run in order of time, whenever they arrived."""
        return self.filter(step=step, run=run).order_by("minute", "id")


class RunRow(MadeAtBench):
    """One reading of a run that goes on: kept at once, never changed. A row that was wrong is struck out by another.

    ``run`` counts the runs of a step. ``values`` are canonical by field, ``typed`` what was typed and its unit;
    ``facts`` what was said of bearings and load, of which the last word counts. ``clock`` is the time of day where
    that was typed.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="run_rows")
    step = models.ForeignKey(Step, models.PROTECT, related_name="run_rows")
    run = models.PositiveSmallIntegerField(default=1)
    minute = models.FloatField()
    clock = models.CharField(max_length=5, blank=True)
    values = models.JSONField(default=dict)
    typed = models.JSONField(default=dict)
    facts = models.JSONField(default=dict)
    strikes = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="struck_by", verbose_name=_("strikes out")
    )
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)

    objects = RunRowQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["step", "run"], name="row_of_run")]

    def __str__(self) -> str:
        return f"{self.run} {self.minute} min"


class RunFactor(models.Model):
    """What an engineer accepted as the shop's own factor on a predicted rise: of which family, from which runs.

    Never changed: a newer one of the family takes its place.
    """

    family = models.CharField(max_length=60)
    median = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    # [test, job number, factor] of each run.
    runs = models.JSONField(default=list)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    accepted_name = models.CharField(max_length=150)
    accepted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["family", "id"], name="factor_of_family")]

    def __str__(self) -> str:
        return f"{self.family} {self.median}"
