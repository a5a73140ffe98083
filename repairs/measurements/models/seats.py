"""Seats of bearings as they were measured, plane by plane, each frozen once it is signed."""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import Literal

from django.conf import settings
from django.db import models
from django.db.models import Count, OuterRef, Q, Subquery
from django.utils.translation import gettext_lazy as _

from repairs.measurements.models.readings import Reading
from repairs.work_orders.models import Job, MadeAtBench, Step


class SeatPlace(models.TextChoices):
    """Where a seat is; those that begin with "housing" are holes, the others shafts."""

    MOUNT = "mount", _("thrust bearing seat on the mount")
    SHAFT_UPPER = "shaft_upper", _("upper guide bearing seat on the shaft")
    SHAFT_LOWER = "shaft_lower", _("lower guide bearing seat on the shaft")
    SHAFT_OTHER = "shaft_other", _("other shaft seat")
    HOUSING_THRUST = "housing_thrust", _("thrust bearing housing")
    HOUSING_UPPER = "housing_upper", _("upper guide bearing housing")
    HOUSING_LOWER = "housing_lower", _("lower guide bearing housing")
    HOUSING_OTHER = "housing_other", _("other housing seat")


class SeatQuerySet(models.QuerySet["SeatRecord"]):
    def standing(self) -> SeatQuerySet:
        """Records that no later one corrects."""
        return self.filter(replaced_by__isnull=True)

    def of_jobs(self, jobs: Collection[int]) -> SeatQuerySet:
        """The rows of several jobs in the order in which they were made: one query."""
        return self.filter(job__in=jobs).order_by("id")

    def of_job(self, job: Job) -> SeatQuerySet:
        """A job's seats in the order in which they were begun."""
        return self.filter(job=job).order_by("id")

    def counted(self, job_reference: str) -> Subquery:
        """How many seats of a job stand, as one column of another query; null where there is none."""
        own = self.standing().filter(job_id=OuterRef(job_reference)).order_by().values("job_id")
        return Subquery(own.annotate(count=Count("pk")).values("count"), output_field=models.IntegerField())


class SeatRecord(MadeAtBench):
    """One seat at one stage. A signed one never changes: a correction is a new row that names the one it replaces.

    ``typed`` holds the readings as they were typed, plane by plane, in ``unit``; ``planes_mm`` the same, exactly, in
    millimetres, null where nothing was read. ``bearing`` repeats what the stack said of the bearing on that day.
    Limits, verdict and ``figures`` are those of the day too; no later table judges them again.
    """

    class LimitsFrom(models.TextChoices):
        DRAWING = "drawing", _("drawing")
        ORDER = "order", _("customer or PO")
        RULE = "rule", _("common rule")
        NONE = "none", _("none")

    class Gauge(models.TextChoices):
        SAME = "same", _("same temperature and material")
        AT_20 = "at_20", _("gauge at 20 °C, part measured")
        UNKNOWN = "unknown", _("not known")

    class Material(models.TextChoices):
        STEEL = "steel", _("steel")
        IRON = "iron", _("cast iron")

    class Unit(models.TextChoices):
        MM = "mm", _("mm")
        IN = "in", _("in")

    job = models.ForeignKey(Job, models.PROTECT, related_name="seats")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="seats")
    moment = models.CharField(max_length=10, choices=Reading.Moment.choices)
    place = models.CharField(_("seat"), max_length=16, choices=SeatPlace.choices)
    name = models.CharField(_("which one"), max_length=60, blank=True)
    bearing_ref = models.CharField(max_length=8, blank=True)
    bearing = models.JSONField(default=dict, blank=True)
    nominal_mm = models.DecimalField(_("nominal size"), max_digits=10, decimal_places=4)
    tolerance_class = models.CharField(max_length=8, blank=True)
    zone = models.CharField(_("zone"), max_length=6, blank=True)
    limits_from = models.CharField(max_length=8, choices=LimitsFrom.choices)
    limits_source = models.CharField(_("drawing or order number"), max_length=120, blank=True)
    low_mm = models.DecimalField(max_digits=12, decimal_places=6, null=True, blank=True)
    high_mm = models.DecimalField(max_digits=12, decimal_places=6, null=True, blank=True)
    unit = models.CharField(max_length=2, choices=Unit.choices)
    typed = models.JSONField(default=list)
    planes_mm = models.JSONField(default=list)
    ring_typed = models.CharField(max_length=20, blank=True)
    ring_mm = models.DecimalField(max_digits=12, decimal_places=6, null=True, blank=True)
    instrument = models.CharField(_("instrument"), max_length=80, blank=True)
    gauge = models.CharField(max_length=8, choices=Gauge.choices, default=Gauge.UNKNOWN)
    part_c = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    material = models.CharField(max_length=8, choices=Material.choices, default=Material.STEEL)
    note = models.CharField(_("note"), max_length=300, blank=True)
    confirmed = models.BooleanField(default=False)
    verdict = models.CharField(max_length=12, choices=Reading.Verdict.choices)
    figures = models.JSONField(default=dict)
    version = models.PositiveIntegerField(default=1)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_name = models.CharField(max_length=150, blank=True)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")
    reason = models.CharField(_("reason for correction"), max_length=300, blank=True)
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_name = models.CharField(max_length=150, blank=True)
    accepted_reason = models.CharField(max_length=300, blank=True)

    objects = SeatQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "place", "name", "bearing_ref", "moment"],
                condition=Q(signed_at__isnull=True),
                name="seat_one_unsigned",
            ),
            models.CheckConstraint(
                condition=Q(accepted_at__isnull=True)
                | Q(signed_at__isnull=False) & ~Q(accepted_name="") & ~Q(accepted_reason=""),
                name="seat_accepted_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.place} {self.name} {self.bearing_ref} {self.moment}".replace("  ", " ")

    @property
    def surface(self) -> Literal["bore", "od"]:
        """Which surface of the bearing the seat holds."""
        return "od" if self.place.startswith("housing") else "bore"

    @property
    def key(self) -> tuple[str, str, str]:
        """What makes two records speak of the same seat."""
        return self.place, self.name, self.bearing_ref

    @property
    def is_signed(self) -> bool:
        return self.signed_at is not None

    @property
    def bearing_type(self) -> str:
        return str(self.bearing.get("type", ""))

    @property
    def sizes_mm(self) -> tuple[Decimal, Decimal, Decimal] | None:
        """Smallest, mean and largest size at 20 °C, where anything was read."""
        names = ("smallest", "mean", "largest")
        if not all(self.figures.get(name) for name in names):
            return None
        low, mean, high = (Decimal(self.figures[name]) for name in names)
        return low, mean, high
