"""Overrides: what two people let pass of the chain that keeps the wrong stack in the shop."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.route import Step


class OverrideQuerySet(models.QuerySet["Override"]):
    def asked_for(self) -> OverrideQuerySet:
        """Asked for by a lead, not yet confirmed by the second person."""
        return self.filter(confirmed_at__isnull=True, withdrawn_at__isnull=True)

    def in_force(self) -> OverrideQuerySet:
        """Confirmed by two people. Papers, board and card print these."""
        return self.filter(confirmed_at__isnull=False)

    def of_job(self, job: Job) -> OverrideQuerySet:
        return self.filter(job=job).select_related("step")

    def for_customer(self) -> OverrideQuerySet:
        """In force, and with words of their own for the customer; nothing else of an override is theirs to read."""
        return self.in_force().exclude(tell_customer="")


class Override(models.Model):
    """One act of two people who did not build: a step of the chain is left out, passes, or ships all the same.

    ``reasons`` holds what stood in the way when it was asked for, as ``{"key", "text"}``: it covers these facts and
    nothing that comes later. ``tell_customer`` is the only part that a customer reads, and is empty unless somebody
    writes it. A row never changes after it was confirmed.
    """

    class Act(models.TextChoices):
        SKIP = "skip", _("step skipped")
        PASS = "pass", _("gate overridden")

    job = models.ForeignKey(Job, models.PROTECT, related_name="overrides")
    step = models.ForeignKey(Step, models.PROTECT, related_name="overrides")
    act = models.CharField(max_length=4, choices=Act.choices)
    reasons = models.JSONField(default=list)
    reason = models.CharField(_("reason"), max_length=300)
    differs = models.BooleanField(default=False)
    consent_by = models.CharField(_("customer's consent: who"), max_length=120, blank=True)
    consent_on = models.DateField(_("customer's consent: when"), null=True, blank=True)
    consent_how = models.CharField(_("customer's consent: how"), max_length=120, blank=True)
    tell_customer = models.CharField(_("tell the customer"), max_length=500, blank=True)
    lead = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    lead_name = models.CharField(max_length=150)
    lead_session = models.CharField(max_length=64)
    lead_by_pin = models.BooleanField(default=False)
    asked_at = models.DateTimeField(auto_now_add=True)
    second = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    second_name = models.CharField(max_length=150, blank=True)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_name = models.CharField(max_length=150, blank=True)

    objects = OverrideQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["step"],
                condition=models.Q(confirmed_at__isnull=True, withdrawn_at__isnull=True),
                name="override_asked_once_a_step",
            ),
            models.CheckConstraint(
                condition=models.Q(second__isnull=True) | ~models.Q(second=models.F("lead")),
                name="override_by_two_people",
            ),
            models.CheckConstraint(
                condition=models.Q(confirmed_at__isnull=True, second__isnull=True)
                | models.Q(confirmed_at__isnull=False, second__isnull=False, withdrawn_at__isnull=True),
                name="override_confirmed_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.job}: {self.step}"

    @property
    def words(self) -> str:
        """What it is, for board and papers: the step and what became of it."""
        shown = {self.Act.SKIP: _("{step}: skipped"), self.Act.PASS: _("{step}: gate overridden")}
        return str(shown[self.Act(self.act)]).format(step=self.step.title)
