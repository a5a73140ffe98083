"""Shop tests as they were made: what was entered, the motor of the day, and the answer of the day."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.measurements.models.readings import Reading
from repairs.work_orders.models import Job, MadeAtBench, Step, StepKind


class TestRecordQuerySet(models.QuerySet["TestRecord"]):
    def standing(self) -> TestRecordQuerySet:
        """Tests that no later one corrects."""
        return self.filter(replaced_by__isnull=True)

    def of_job(self, job: Job) -> TestRecordQuerySet:
        """A job's tests in the order they were made, each with its step: one query."""
        return self.filter(job=job).select_related("step").order_by("id")


class TestRecord(MadeAtBench):
    """One shop test. Never changed: a correction is a new row that names the one it replaces.

    ``typed`` maps a field to what was typed and its unit; ``entries`` the same in canonical units, with the job's
    settings; ``machine`` what of the plate the limits came from; ``answer`` results, limits, notes and working of the
    day. No later table judges them again.
    """

    __test__ = False

    class Verdict(models.TextChoices):
        PASS = "pass", _("pass")
        FAIL = "fail", _("fail")
        NOT_CHECKED = "not_checked", _("not checked")
        NOTED = "noted", _("noted")

    job = models.ForeignKey(Job, models.PROTECT, related_name="tests")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="tests")
    moment = models.CharField(max_length=10, choices=Reading.Moment.choices)
    test = models.CharField(max_length=24)
    sheet_version = models.PositiveIntegerField(default=0)
    typed = models.JSONField(default=dict)
    entries = models.JSONField(default=dict)
    machine = models.JSONField(default=dict)
    answer = models.JSONField(default=dict)
    confirmed = models.JSONField(default=list)
    verdict = models.CharField(max_length=12, choices=Verdict.choices)
    instrument = models.CharField(_("instrument"), max_length=80, blank=True)
    calibration_due = models.DateField(null=True, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")
    reason = models.CharField(_("reason for correction"), max_length=300, blank=True)

    objects = TestRecordQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["job", "test"], name="test_of_job")]

    def __str__(self) -> str:
        return f"{self.test} {self.moment} {self.verdict}"


class TestSettingQuerySet(models.QuerySet["TestSetting"]):
    def current(self) -> TestSettingQuerySet:
        """Settings that no later entry replaced."""
        return self.filter(replaced_at__isnull=True).order_by("id")

    def for_job(self, job: Job | None) -> TestSettingQuerySet:
        """The shop's settings, then a job's own: whoever reads them in this order ends with the one that counts."""
        mine = (
            models.Q(job__isnull=True) | models.Q(job=job) if job is not None else models.Q(job__isnull=True)
        )
        return self.current().filter(mine).order_by(models.F("job_id").asc(nulls_first=True), "id")


class TestSetting(models.Model):
    """What holds for all tests of a job, or of the shop where a job says nothing. A newer one replaces and keeps it."""

    __test__ = False

    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="test_settings")
    key = models.CharField(max_length=60)
    value = models.CharField(max_length=40)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    entered_name = models.CharField(max_length=150)
    entered_at = models.DateTimeField(auto_now_add=True)
    replaced_at = models.DateTimeField(null=True, blank=True)

    objects = TestSettingQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "key"],
                condition=models.Q(replaced_at__isnull=True, job__isnull=False),
                name="one_setting_a_job_and_key",
            ),
            models.UniqueConstraint(
                fields=["key"],
                condition=models.Q(replaced_at__isnull=True, job__isnull=True),
                name="one_setting_a_shop_and_key",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} {self.value}"


class SheetQuerySet(models.QuerySet["ReadingSheet"]):
    def current(self) -> SheetQuerySet:
        """The newest version of each sheet."""
        return self.filter(replaced_at__isnull=True)


class ReadingSheet(models.Model):
    """Which tests and rows a kind of step asks for on a build of motor. A change is a new version; old ones stay."""

    kind = models.CharField(max_length=20, choices=StepKind.choices)
    build = models.CharField(max_length=20, blank=True)
    version = models.PositiveIntegerField(default=1)
    rows = models.JSONField(default=list)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    entered_name = models.CharField(max_length=150)
    entered_at = models.DateTimeField(auto_now_add=True)
    replaced_at = models.DateTimeField(null=True, blank=True)

    objects = SheetQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "build", "version"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "build", "version"], name="sheet_version_once"),
            models.UniqueConstraint(
                fields=["kind", "build"],
                condition=models.Q(replaced_at__isnull=True),
                name="sheet_one_current",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.build} {self.version}"


class Instrument(models.Model):
    """A measuring instrument of the shop, chosen by its tag. Overdue is said, it keeps nobody from measuring."""

    tag = models.CharField(_("tag"), max_length=40, unique=True)
    name = models.CharField(_("what it is"), max_length=80)
    calibration_due = models.DateField(_("calibration due"), null=True, blank=True)
    active = models.BooleanField(default=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["tag"]

    def __str__(self) -> str:
        return f"{self.tag} {self.name}"
