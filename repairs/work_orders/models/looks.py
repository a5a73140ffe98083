"""What a second person saw of each bearing before the cap went on."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models.pictures import JobPhoto
from repairs.work_orders.models.stacks import StackRecord


class BearingLook(models.Model):
    """One answer to one question: how does the wide face of this bearing look? Never changed; the newest counts.

    ``uid`` is the bearing's on the list of the record as built. ``photo`` is the picture it was answered from, of the
    same record; without one the bearing itself was seen.
    """

    class Face(models.TextChoices):
        UP = "up", _("up")
        DOWN = "down", _("down")
        CANNOT_SEE = "cannot_see", _("cannot see it")

    record = models.ForeignKey(StackRecord, models.PROTECT, related_name="looks")
    uid = models.CharField(max_length=20)
    face = models.CharField(max_length=10, choices=Face.choices)
    photo = models.ForeignKey(JobPhoto, models.PROTECT, null=True, blank=True, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["record", "person"], name="look_of_person")]

    def __str__(self) -> str:
        return f"{self.record} {self.uid}: {self.face}"
