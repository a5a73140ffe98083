"""Which photo belongs to which part of a job."""

from __future__ import annotations

from django.db import models

from repairs.photos.models import Photo
from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.moments import MadeAtBench
from repairs.work_orders.models.route import Step
from repairs.work_orders.models.stacks import StackRecord


class JobPhotoQuerySet(models.QuerySet["JobPhoto"]):
    """Questions about the photos of jobs."""

    def digests_at(self, job: Job, stack_record: StackRecord | None) -> set[str]:
        """Return the digests of the uploads that are at a stack record, or on the job apart from any."""
        there = self.filter(job=job, stack_record=stack_record, withdrawn_at__isnull=True)
        return set(there.values_list("photo__sha256", flat=True))


class JobPhoto(MadeAtBench):
    """A photo on a job; also on one of its steps or stack records when those are named."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="photos")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="photos")
    stack_record = models.ForeignKey(
        StackRecord, models.PROTECT, null=True, blank=True, related_name="photos"
    )
    photo = models.ForeignKey(Photo, models.PROTECT, related_name="placements")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = JobPhotoQuerySet.as_manager()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.job} {self.photo}"
