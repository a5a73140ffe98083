"""What lay dry beside the mount before anything was heated, part by part, against the specified stack."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from repairs.work_orders.models.jobs import Job
from repairs.work_orders.models.moments import MadeAtBench
from repairs.work_orders.models.stacks import StackRecord


class LayOut(MadeAtBench):
    """One look at the stack laid out dry. Never changed: after a difference it is laid out and looked at again.

    ``lines`` holds for each part, from the top, its uid, ref, the face and the marks as they were read;
    ``differences`` says in codes and refs what differs from the specified stack.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="lay_outs")
    specified = models.ForeignKey(StackRecord, models.PROTECT, related_name="lay_outs")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)
    lines = models.JSONField(default=list)
    differences = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.job} {self.at}"
