"""Limits that stand before anything is measured: of the shop's policy, or of one job's specification."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.measurements.models.readings import Reading
from repairs.work_orders.models import Job, Step


class StandingLimitQuerySet(models.QuerySet["StandingLimit"]):
    def current(self) -> StandingLimitQuerySet:
        """Limits that nobody withdrew and no later entry replaced, oldest first."""
        return self.filter(replaced_at__isnull=True).order_by("id")

    def for_job(self, job: Job) -> StandingLimitQuerySet:
        """A job's own limits and the shop's, newest first: those of now, and those of the day the job was opened."""
        opening = models.Q(entered_at__lte=job.opened_at, replaced_at__gt=job.opened_at)
        now = models.Q(replaced_at__isnull=True)
        mine, shop = models.Q(job=job) & now, models.Q(job__isnull=True) & (now | opening)
        return self.filter(mine | shop).order_by("-id")

    def of_shop(self) -> StandingLimitQuerySet:
        return self.filter(job__isnull=True)


class StandingLimit(models.Model):
    """One limit of one asked reading, with its source and who entered it. A newer entry replaces it and keeps it.

    Without a job it is the shop's policy; with one it is that job's specification.
    """

    class Level(models.TextChoices):
        CUSTOMER = "customer", _("customer (PO, specification)")
        MAKER = "maker", _("motor maker (drawing, manual)")

    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="limits")
    # Whose word a job's limit is; the shop's own has none.
    level = models.CharField(_("whose limit"), max_length=10, choices=Level.choices, default=Level.CUSTOMER)
    asked = models.CharField(_("reading"), max_length=20)
    unit = models.CharField(_("unit"), max_length=20)
    low = models.DecimalField(_("at least"), max_digits=18, decimal_places=6, null=True, blank=True)
    high = models.DecimalField(_("at most"), max_digits=18, decimal_places=6, null=True, blank=True)
    source = models.CharField(_("limit source"), max_length=160)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    entered_name = models.CharField(max_length=150)
    entered_at = models.DateTimeField(auto_now_add=True)
    replaced_at = models.DateTimeField(null=True, blank=True)

    objects = StandingLimitQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "asked", "level"],
                condition=models.Q(replaced_at__isnull=True, job__isnull=False),
                name="one_limit_a_job_and_reading",
            ),
            models.UniqueConstraint(
                fields=["asked"],
                condition=models.Q(replaced_at__isnull=True, job__isnull=True),
                name="one_limit_a_shop_and_reading",
            ),
            models.CheckConstraint(
                condition=models.Q(low__isnull=False) | models.Q(high__isnull=False),
                name="limit_says_something",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.asked} {self.low} {self.high} {self.unit}"


class ReadingJudgment(models.Model):
    """A lead's word on a value that no limit stood for, with the reason that prints."""

    reading = models.OneToOneField(Reading, models.PROTECT, related_name="judgment")
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.reading}: {self.reason}"


class RunConcession(models.Model):
    """The customer takes the motor without a run that the shop cannot make: who agreed, when, how, and why no run."""

    step = models.OneToOneField(Step, models.PROTECT, related_name="concession")
    reason = models.CharField(_("reason not run"), max_length=300)
    agreed_by = models.CharField(_("customer's consent: who"), max_length=120)
    agreed_on = models.DateField(_("customer's consent: when"))
    agreed_how = models.CharField(_("customer's consent: how"), max_length=120)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.step}: {self.agreed_by}"
