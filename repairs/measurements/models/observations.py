"""Damage as somebody saw it on one part, with its suspected cause apart from it."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.utils.translation import gettext_lazy as _

from repairs.measurements.engineering.tables.damage_modes import NONE
from repairs.work_orders.models import Job, JobPhoto, MadeAtBench, StackRecord, Step


class ObservationQuerySet(models.QuerySet["Observation"]):
    def standing(self) -> ObservationQuerySet:
        """Observations that no later row corrects or withdraws."""
        return self.filter(replaced_by__isnull=True, withdrawn=False)

    def of_jobs(self, jobs: Collection[int]) -> ObservationQuerySet:
        """The rows of several jobs in the order in which they were made: one query."""
        return self.filter(job__in=jobs).order_by("id")

    def of_job(self, job: Job) -> ObservationQuerySet:
        """A job's observations in the order in which they were made: one query."""
        return self.filter(job=job).order_by("id")

    def damaged(self) -> ObservationQuerySet:
        """Observations of damage; a part that was checked and is sound is none."""
        return self.exclude(mode=NONE)

    def counted(self, job_reference: str) -> Subquery:
        """How many of a job stand, as one column of another query; null where there is none."""
        own = self.standing().filter(job_id=OuterRef(job_reference)).order_by().values("job_id")
        return Subquery(own.annotate(count=Count("pk")).values("count"), output_field=models.IntegerField())

    def by_bearing(self, designations: list[str]) -> QuerySet[Any, Any]:
        """For each designation and edition of the book: on how many jobs and motors one was found damaged."""
        rows = self.standing().damaged().filter(designation__in=designations).order_by()
        return (
            rows.values("designation", "edition")
            .annotate(
                jobs=Count("job", distinct=True),
                motors=Count("job__motor", distinct=True),
            )
            .order_by("designation", "edition")
        )


class Observation(MadeAtBench):
    """What one part looks like. Never changed: a correction is a new row that names the one it replaces.

    A part of the stack as found is named by ``item_uid``, with what the record said of it that day in ``item``; any
    other by ``part_name``. ``mode`` is a code of the table of damage modes. Cause and mode are never one field: a cause
    without its evidence is refused.
    """

    class Element(models.TextChoices):
        INNER = "inner", _("inner ring")
        OUTER = "outer", _("outer ring")
        ROLLING = "rolling", _("rolling elements")
        CAGE = "cage", _("cage")
        FACE = "face", _("ring face")
        WHOLE = "whole", _("whole part")

    class Confidence(models.TextChoices):
        CERTAIN = "certain", _("certain")
        LIKELY = "likely", _("likely")
        POSSIBLE = "possible", _("possible")

    class Mounted(models.TextChoices):
        YES = "yes", _("yes")
        NO = "no", _("no")
        UNKNOWN = "unknown", _("not known")

    job = models.ForeignKey(Job, models.PROTECT, related_name="observations")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="observations")
    stack_record = models.ForeignKey(StackRecord, models.PROTECT, null=True, blank=True, related_name="+")
    item_uid = models.CharField(max_length=12, blank=True)
    item = models.JSONField(default=dict, blank=True)
    part_name = models.CharField(_("part"), max_length=120, blank=True)
    designation = models.CharField(max_length=80, blank=True)
    edition = models.CharField(max_length=200, blank=True)
    mode = models.CharField(_("damage"), max_length=12)
    element = models.CharField(_("on which part of it"), max_length=8, choices=Element.choices, blank=True)
    load_zone_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    location = models.CharField(_("location"), max_length=120, blank=True)
    extent = models.CharField(_("extent"), max_length=120, blank=True)
    photo = models.ForeignKey(JobPhoto, models.PROTECT, null=True, blank=True, related_name="+")
    confidence = models.CharField(max_length=8, choices=Confidence.choices)
    note = models.CharField(_("note"), max_length=300, blank=True)
    cause = models.CharField(_("suspected cause"), max_length=300, blank=True)
    cause_evidence = models.CharField(_("evidence"), max_length=300, blank=True)
    cause_confidence = models.CharField(max_length=8, choices=Confidence.choices, blank=True)
    mounted_by_us = models.CharField(max_length=8, choices=Mounted.choices, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")
    reason = models.CharField(_("reason for correction"), max_length=300, blank=True)
    withdrawn = models.BooleanField(default=False)

    objects = ObservationQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["designation", "edition"], name="observed_bearing")]
        constraints = [
            models.CheckConstraint(
                condition=~Q(item_uid="") | ~Q(part_name=""), name="observation_names_a_part"
            ),
            models.CheckConstraint(condition=Q(cause="") | ~Q(cause_evidence=""), name="cause_has_evidence"),
        ]

    def __str__(self) -> str:
        return f"{self.item.get('ref') or self.part_name} {self.mode}"
