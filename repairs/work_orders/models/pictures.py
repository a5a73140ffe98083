"""Which photo belongs to which part of a job."""

from __future__ import annotations

from django.db import models

from repairs.photos.models import Photo
from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.route import Step
from repairs.work_orders.models.stacks import StackRecord


class JobPhoto(models.Model):
    """A photo on a job; also on one of its steps or stack records when those are named."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="photos")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="photos")
    stack_record = models.ForeignKey(
        StackRecord, models.PROTECT, null=True, blank=True, related_name="photos"
    )
    photo = models.ForeignKey(Photo, models.PROTECT, related_name="placements")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.job} {self.photo}"
