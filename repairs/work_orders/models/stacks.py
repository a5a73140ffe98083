"""Stack records: what was found, what is specified, what was built."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models.expressions import RawSQL
from django.utils.translation import gettext_lazy as _

from bearings.public import StoredAssessment
from repairs.work_orders.models.jobs import Job


class Stage(models.TextChoices):
    AS_FOUND = "as_found", _("As found")
    SPECIFIED = "specified", _("Specified")
    AS_BUILT = "as_built", _("As built")


class FrozenRecordError(TypeError):
    """A signed stack record is never changed; a new revision is made instead."""

    def __init__(self) -> None:
        super().__init__("A signed stack record is never changed or deleted; make a new revision.")


# Said in SQL because the recorder asks this at every touch, and building the same from expressions costs more
# than the database takes to answer.
_LIMITS = "(SELECT limits FROM work_orders_shoppolicy WHERE id = 1)"
_PHOTOS = (
    "(SELECT COUNT(*) FROM work_orders_jobphoto"
    " WHERE stack_record_id = work_orders_stackrecord.id AND withdrawn_at IS NULL)"
)
_ACCEPTED = "EXISTS (SELECT 1 FROM work_orders_acceptedfinding WHERE record_id = work_orders_stackrecord.id)"


class StackRecordQuerySet(models.QuerySet["StackRecord"]):
    def current(self) -> StackRecordQuerySet:
        """The latest revision of each stage."""
        newer = StackRecord.objects.filter(
            job=models.OuterRef("job"),
            stage=models.OuterRef("stage"),
            revision__gt=models.OuterRef("revision"),
        )
        return self.filter(~models.Exists(newer))

    def of_jobs(self, jobs: Collection[int], stages: Collection[str]) -> StackRecordQuerySet:
        """Some stages of several jobs, without what undo keeps: one query."""
        return self.filter(job__in=jobs, stage__in=stages).defer("undo").order_by("revision")

    def signed(self) -> StackRecordQuerySet:
        return self.filter(signed_at__isnull=False)

    def for_recorder(self) -> StackRecordQuerySet:
        """Records with all that the recorder asks of the rows around them, in one query."""
        return self.select_related("job__motor").annotate(
            shop_limits=RawSQL(_LIMITS, (), output_field=models.JSONField()),
            photo_count=RawSQL(_PHOTOS, (), output_field=models.IntegerField()),
            any_accepted=RawSQL(_ACCEPTED, (), output_field=models.BooleanField()),
        )

    def for_job_page(self) -> StackRecordQuerySet:
        """Records with the name of their signer, in one query; without what undo keeps."""
        return self.select_related("signed_by").defer("undo")

    def for_assessment(self) -> StackRecordQuerySet:
        """Records with what the page of their assessment shows around it, in one query."""
        return self.select_related("job__motor", "job__customer", "assessment", "signed_by")

    def ever_written_in(self) -> StackRecordQuerySet:
        """Records that hold more than their beginning, or did once: every change raises the version."""
        return self.filter(version__gt=1)

    def change_unsigned(self, pk: int, seen_version: int, **values: Any) -> bool:
        """Write one row if it still has the version seen and nobody signed it; say whether it was written."""
        rows = self.filter(pk=pk, version=seen_version).exclude(state=StackRecord.State.SIGNED)
        return models.QuerySet.update(rows, **values) == 1

    def update(self, **kwargs: Any) -> int:
        """Change rows that are not signed; a signed one among them refuses the whole change."""
        if self.filter(state=StackRecord.State.SIGNED).exists():
            raise FrozenRecordError
        return super().update(**kwargs)

    def delete(self) -> tuple[int, dict[str, int]]:
        """Stack records are never deleted."""
        raise FrozenRecordError


class StackRecord(models.Model):
    """One revision of one stage.

    ``items`` lists, from the top of the mount, ``{"uid": str, "rating_id": int|None, "data": {...}}`` where
    ``data`` holds the fields of one item of the stack file; ``guides`` likewise. The numbers of a rating are
    copied into ``data`` with their source, so that a later edition of the book changes no record.
    ``absent`` names the kinds of parts that somebody looked for and did not find. Signing freezes the row: ``save``
    refuses afterwards.
    """

    class State(models.TextChoices):
        DRAFT = "draft", _("being recorded")
        SUBMITTED = "submitted", _("submitted")
        SIGNED = "signed", _("signed")

    job = models.ForeignKey(Job, models.PROTECT, related_name="stack_records")
    stage = models.CharField(max_length=10, choices=Stage.choices)
    revision = models.PositiveIntegerField(default=1)
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    is_proposal = models.BooleanField(default=False)
    items = models.JSONField(default=list)
    guides = models.JSONField(default=list, blank=True)
    lubrication = models.JSONField(default=dict, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=2000)
    top_identified = models.BooleanField(_("top of mount marked"), default=False)
    absent = models.JSONField(default=list, blank=True)
    reason = models.CharField(_("reason for this revision"), max_length=300, blank=True)
    undo = models.JSONField(default=list, blank=True)
    started_at = models.DateTimeField(auto_now_add=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    submitted_at = models.DateTimeField(null=True, blank=True)
    submitted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    compared_with = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="+")
    differences = models.JSONField(null=True, blank=True)
    assessment = models.ForeignKey(StoredAssessment, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    objects = StackRecordQuerySet.as_manager()
    _was_signed = False

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "stage", "revision"], name="stack_revision_once"),
            models.CheckConstraint(
                condition=models.Q(state="signed", signed_at__isnull=False, signed_by__isnull=False)
                | (~models.Q(state="signed") & models.Q(signed_at__isnull=True)),
                name="stack_signed_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.job} {self.stage} {self.revision}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self._was_signed:
            raise FrozenRecordError
        super().save(*args, **kwargs)
        self._was_signed = self.state == self.State.SIGNED

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise FrozenRecordError

    def frozen_now(self) -> None:
        """Take note that the row was signed by ``change_unsigned``; this object writes nothing any more."""
        self._was_signed = True

    @classmethod
    def from_db(cls, *args: Any, **kwargs: Any) -> StackRecord:
        record = super().from_db(*args, **kwargs)
        record._was_signed = record.__dict__.get("state") == cls.State.SIGNED
        return record

    @property
    def is_frozen(self) -> bool:
        return self.state == self.State.SIGNED


class AcceptedFindingQuerySet(models.QuerySet["AcceptedFinding"]):
    def standing(self) -> AcceptedFindingQuerySet:
        """Accepted by as many people as it takes: a stop by two, the rest by a lead."""
        return self.filter(models.Q(needs_second=False) | models.Q(second__isnull=False))


class AcceptedFinding(models.Model):
    """A finding that a lead accepted, with the reason that prints on the traveler.

    A stop of margin (``needs_second``) stands until a second person accepts it too. The reason stays in the shop; the
    customer reads ``tell_customer``.
    """

    record = models.ForeignKey(StackRecord, models.PROTECT, related_name="accepted_findings")
    code = models.CharField(max_length=40)
    ref = models.CharField(max_length=8, blank=True)
    reason = models.CharField(_("reason"), max_length=300)
    tell_customer = models.CharField(_("tell the customer"), max_length=300, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)
    session = models.CharField(max_length=64, blank=True)
    by_pin = models.BooleanField(default=False)
    needs_second = models.BooleanField(default=False)
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    second_name = models.CharField(max_length=150, blank=True)
    second_at = models.DateTimeField(null=True, blank=True)

    objects = AcceptedFindingQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["record", "code", "ref"], name="finding_accepted_once"),
            models.CheckConstraint(
                condition=models.Q(second__isnull=True) | ~models.Q(second=models.F("person")),
                name="finding_accepted_by_two_people",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.ref}"
