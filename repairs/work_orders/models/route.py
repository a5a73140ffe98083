"""Routes: the ordered steps of a job, and the templates they are laid out from."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.moments import MadeAtBench
from repairs.work_orders.models.step_kinds import StepKind


class RouteTemplate(models.Model):
    """A route that new jobs start from."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    for_build = models.CharField(max_length=20, blank=True)
    active = models.BooleanField(default=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class TemplateStep(models.Model):
    """One step of a template."""

    template = models.ForeignKey(RouteTemplate, models.CASCADE, related_name="steps")
    position = models.PositiveIntegerField()
    kind = models.CharField(max_length=20, choices=StepKind.choices, default=StepKind.OTHER)
    title = models.CharField(_("title"), max_length=120)
    chargeable = models.BooleanField(_("chargeable: needs an approved estimate"), default=False)

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["template", "position"], name="template_position_once")
        ]

    def __str__(self) -> str:
        return self.title


class Step(models.Model):
    """One step of a job. ``position`` is tens apart when laid out, so that a step can come between."""

    class State(models.TextChoices):
        WAITING = "waiting", _("to do")
        DONE = "done", _("done")
        SKIPPED = "skipped", _("skipped")

    job = models.ForeignKey(Job, models.PROTECT, related_name="steps")
    position = models.PositiveIntegerField()
    kind = models.CharField(max_length=20, choices=StepKind.choices, default=StepKind.OTHER)
    title = models.CharField(_("title"), max_length=120)
    chargeable = models.BooleanField(default=False)
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    skip_reason = models.CharField(max_length=200, blank=True)
    tell_customer = models.CharField(_("tell the customer"), max_length=300, blank=True)

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["job", "position"], name="step_position_once")]

    def __str__(self) -> str:
        return self.title


class SignOff(MadeAtBench):
    """A person's signature under a step, never changed; one taken back goes, and the ledger tells.

    A lead's word that chargeable work may pass is a row of its own. ``rules`` says under which gates it was given: a
    signature of older ones stays, and nobody asks it for what was not asked then.
    """

    RULES_NOW = 2

    class As(models.TextChoices):
        WORKER = "worker", _("did the work")
        SECOND = "second", _("second person")
        OVERRIDE = "override", _("let the job proceed")

    step = models.ForeignKey(Step, models.PROTECT, related_name="sign_offs")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    signed_as = models.CharField(max_length=10, choices=As.choices, default=As.WORKER)
    at = models.DateTimeField(auto_now_add=True)
    note = models.CharField(max_length=400, blank=True)
    rules = models.PositiveSmallIntegerField(default=RULES_NOW)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.person_name}: {self.step}"
