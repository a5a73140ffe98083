"""What a job costs the shop and what becomes of the motor's parts: time, parts, outside services, cautions read."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q, Sum
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.moments import MadeAtBench
from repairs.work_orders.models.route import Step


class WorkPeriodQuerySet(models.QuerySet["WorkPeriod"]):
    def running(self) -> WorkPeriodQuerySet:
        """Periods that somebody started and nobody stopped yet."""
        return self.filter(ended_at__isnull=True)

    def by_step(self, job: Job) -> list[tuple[str, timedelta]]:
        """Return for each step of a job the time worked on it, in the order of the route; running clocks left out."""
        ended = self.filter(step__job=job, ended_at__isnull=False)
        rows = ended.values("step__title", "step__position").annotate(
            worked=Sum(F("ended_at") - F("started_at"))
        )
        return [(row["step__title"], row["worked"]) for row in rows.order_by("step__position")]


class WorkPeriod(models.Model):
    """Somebody's work on a step, from a start to a stop. A person works on one step at a time."""

    step = models.ForeignKey(Step, models.PROTECT, related_name="work_periods")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = WorkPeriodQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=Q(ended_at__isnull=True), name="one_running_work_per_person"
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("started_at")),
                name="work_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person_name}: {self.step}"


class StrippedPart(MadeAtBench):
    """One part taken off the motor, where it lies, and what becomes of it."""

    class Disposition(models.TextChoices):
        OPEN = "open", _("undecided")
        REUSE = "reuse", _("reuse")
        REPAIR = "repair", _("repair")
        REPLACE = "replace", _("replace")
        CUSTOMER = "customer", _("customer supplies")
        MISSING = "missing", _("missing")
        SCRAP = "scrap", _("scrap")

    job = models.ForeignKey(Job, models.PROTECT, related_name="stripped_parts")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="stripped_parts")
    name = models.CharField(_("part"), max_length=120)
    tag = models.CharField(_("part tag"), max_length=40, blank=True)
    place = models.CharField(_("location"), max_length=120, blank=True)
    disposition = models.CharField(
        _("disposition"), max_length=10, choices=Disposition.choices, default=Disposition.OPEN
    )
    note = models.CharField(_("note"), max_length=300, blank=True)
    version = models.PositiveIntegerField(default=1)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class UsedPart(MadeAtBench):
    """A new part or material that went into the motor; a slip is taken back, never erased."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="used_parts")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="used_parts")
    name = models.CharField(_("part or material"), max_length=120)
    designation = models.CharField(_("designation, size, lot"), max_length=120, blank=True)
    quantity = models.DecimalField(
        _("quantity"), max_digits=10, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))]
    )
    unit = models.CharField(_("unit"), max_length=20, default="pc")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class OutsideService(models.Model):
    """Work that another shop does on the motor: what, where it went, when it is due and when it came back."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="outside_services")
    what = models.CharField(_("work"), max_length=200)
    sent_to = models.CharField(_("sent to"), max_length=120)
    reference = models.CharField(_("vendor reference"), max_length=60, blank=True)
    sent_on = models.DateField(_("sent"))
    due_on = models.DateField(_("due back"), null=True, blank=True)
    back_on = models.DateField(_("returned"), null=True, blank=True)
    result = models.CharField(_("vendor report"), max_length=300, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(back_on__isnull=True) | Q(back_on__gte=F("sent_on")),
                name="service_back_after_sent",
            )
        ]

    def __str__(self) -> str:
        return self.what


class CautionRead(models.Model):
    """Somebody read the cautions of a kind of step for a job, in the wording of that day."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="cautions_read")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    step_kind = models.CharField(max_length=20)
    wording = models.CharField(max_length=16)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["job", "person", "step_kind", "wording"], name="caution_read_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.step_kind} {self.person_id}"
