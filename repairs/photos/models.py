"""Photos as the shop keeps them: the original, and two derivatives made once."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models


class Photo(models.Model):
    """A picture. Files are private and named by their content; ``original_name`` is only text."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    sha256 = models.CharField(max_length=64)
    original = models.CharField(max_length=120)
    print_size = models.CharField(max_length=120)
    thumbnail = models.CharField(max_length=120)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    original_name = models.CharField(max_length=200, blank=True)
    caption = models.CharField(max_length=200, blank=True)
    taken_at = models.DateTimeField(null=True)
    uploaded_at = models.DateTimeField(auto_now_add=True)
    uploaded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["sha256"], name="photo_sha256")]

    def __str__(self) -> str:
        return self.caption or self.original_name or str(self.pk)


class Mark(models.Model):
    """A numbered mark on a photo. ``item_uid`` ties it to an item of the stack that the photo shows."""

    photo = models.ForeignKey(Photo, models.CASCADE, related_name="marks")
    item_uid = models.CharField(max_length=12, blank=True)
    label = models.CharField(max_length=40, blank=True)
    x = models.FloatField()
    y = models.FloatField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(x__gte=0, x__lte=1, y__gte=0, y__lte=1), name="mark_on_the_photo"
            )
        ]

    def __str__(self) -> str:
        return self.label or self.item_uid
