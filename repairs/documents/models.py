"""Issued papers, the report, and the customer's private links."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.documents.files import Damage
from repairs.work_orders.models import Job


class DocumentKind(models.TextChoices):
    JOB_TAG = "job_tag", _("Job tag")
    TRAVELER = "traveler", _("Traveler")
    STACK_CARD = "stack_card", _("Stack card")
    START_UP = "start_up", _("Commissioning sheet")
    REPORT = "report", _("Repair report")


class IssuedDocumentQuerySet(models.QuerySet["IssuedDocument"]):
    def of(self, job: Job, kind: str) -> IssuedDocumentQuerySet:
        """A job's papers of one kind, the newest first, with who issued them."""
        papers = self.filter(job=job, kind=kind).select_related("job", "issued_by")
        return papers.order_by("-revision", "-id")

    def with_job(self) -> IssuedDocumentQuerySet:
        """Papers with everything that their job's content is made of."""
        return self.select_related("job__motor", "job__customer", "job__site", "job__contact", "issued_by")


class IssuedDocument(models.Model):
    """A paper as it was issued: its bytes are stored once and served again unchanged.

    ``content_hash`` is the digest of what the paper says; the same content is the same revision.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="documents")
    kind = models.CharField(max_length=12, choices=DocumentKind.choices)
    revision = models.PositiveIntegerField()
    paper = models.CharField(max_length=8)
    language = models.CharField(max_length=8)
    units = models.CharField(max_length=2)
    content_hash = models.CharField(max_length=64)
    content = models.JSONField()
    file = models.CharField(max_length=160)
    code = models.CharField(max_length=24, unique=True)
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    reason = models.CharField(max_length=300, blank=True)

    objects = IssuedDocumentQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "kind", "content_hash", "paper", "language", "units"], name="document_once"
            ),
        ]
        indexes = [models.Index(fields=["job", "kind", "-revision"], name="document_latest")]

    def __str__(self) -> str:
        return f"{self.job} {self.kind} {self.revision}"


class PaperRevision(models.Model):
    """The number of one content of one kind of paper, given when the content is read and before the paper is made.

    So two papers that are made at the same time bear their numbers in the order of the facts they were made from.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="+")
    kind = models.CharField(max_length=12, choices=DocumentKind.choices)
    content_hash = models.CharField(max_length=64)
    revision = models.PositiveIntegerField()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "kind", "content_hash"], name="paper_content_once"),
            models.UniqueConstraint(fields=["job", "kind", "revision"], name="paper_revision_once"),
        ]

    def __str__(self) -> str:
        return f"{self.job} {self.kind} {self.revision}"


class ReportReview(models.Model):
    """A lead's word that the report says what is so: tied to the facts that were read, and to no others."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="report_reviews")
    facts_hash = models.CharField(max_length=64)
    reviewed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    reviewer_name = models.CharField(max_length=150)
    reviewed_at = models.DateTimeField()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "facts_hash", "reviewed_by"], name="report_reviewed_once")
        ]

    def __str__(self) -> str:
        return f"{self.job} {self.reviewer_name}"


class PaperFaultQuerySet(models.QuerySet["PaperFault"]):
    def open(self) -> PaperFaultQuerySet:
        """Faults of papers that are still damaged as far as anybody knows, with paper and job."""
        return self.filter(ended_at=None).select_related("document__job").order_by("-id")


class PaperFault(models.Model):
    """A stored paper whose file was found missing or changed; it ends when the file is found as it was issued."""

    document = models.ForeignKey(IssuedDocument, models.PROTECT, related_name="faults")
    damage = models.CharField(max_length=10, choices=Damage.choices)
    found_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = PaperFaultQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["document"],
                condition=models.Q(ended_at__isnull=True),
                name="one_open_fault_per_paper",
            )
        ]

    def __str__(self) -> str:
        return f"{self.document} {self.damage}"


class PrivateLinkQuerySet(models.QuerySet["PrivateLink"]):
    def usable(self, at: datetime) -> PrivateLinkQuerySet:
        """Links that are neither expired nor revoked."""
        return self.filter(expires_at__gt=at, revoked_at__isnull=True)

    def of_job(self, job: Job) -> PrivateLinkQuerySet:
        """A job's links, the newest first, with who made them."""
        return self.filter(job=job).select_related("made_by").order_by("-id")


class PrivateLink(models.Model):
    """A customer's way to one job. Only the token's digest is kept; the link is shown once."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="private_links")
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    opened = models.PositiveIntegerField(default=0)
    last_opened_at = models.DateTimeField(null=True, blank=True)

    objects = PrivateLinkQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.job} {self.made_at:%Y-%m-%d}"


class StartUpRecordQuerySet(models.QuerySet["StartUpRecord"]):
    def of_job(self, job: Job) -> StartUpRecordQuerySet:
        """What customers entered at their site, the newest first."""
        return self.filter(job=job).order_by("-id")

    def counted(self, job_reference: str) -> models.Subquery:
        """How many a job has, as one column of another query; null where there is none."""
        own = self.filter(job_id=models.OuterRef(job_reference)).order_by().values("job_id")
        count = own.annotate(count=models.Count("pk")).values("count")
        return models.Subquery(count, output_field=models.IntegerField())


class StartUpRecord(models.Model):
    """What a customer entered on the commissioning sheet behind a private link. Never changed: a later one is added.

    ``entries`` maps a field to what was typed with its unit and its canonical value, or to the choice. ``name`` is what
    was typed; nobody proved who typed it.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="start_up_records")
    link = models.ForeignKey(PrivateLink, models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)
    body_hash = models.CharField(max_length=64)
    name = models.CharField(_("name"), max_length=80)
    done_on = models.DateField(_("date"))
    entries = models.JSONField()
    note = models.CharField(_("remarks"), max_length=500, blank=True)
    at = models.DateTimeField()

    objects = StartUpRecordQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [models.UniqueConstraint(fields=["link", "key"], name="start_up_entered_once")]

    def __str__(self) -> str:
        return f"{self.job} {self.done_on:%Y-%m-%d}"
