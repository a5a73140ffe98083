"""Motors. A motor lives on across jobs; its plate is evidence, so every field says how it was read."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Customer, Site
from repairs.photos.models import Photo


class MotorQuerySet(models.QuerySet["Motor"]):
    def called(self, typed: str) -> MotorQuerySet:
        """Motors whose serial number, tag or owner holds what was typed; all of them when nothing was."""
        text = typed.strip()
        if not text:
            return self
        return self.filter(
            models.Q(serial__icontains=text)
            | models.Q(tag__icontains=text)
            | models.Q(customer__name__icontains=text)
        )

    def with_owner(self) -> MotorQuerySet:
        """Motors with whose they are and where they stand, in one query."""
        return self.select_related("customer", "site")


class Motor(models.Model):
    """One machine.

    ``nameplate`` maps a key of ``nameplate.FIELDS`` to
    ``{"state": "read"|"inferred"|"illegible"|"missing", "typed": str, "unit": str, "si": number|str|None}``:
    what was typed in the unit it was typed in, and the same in SI. A key that is absent was not asked yet.
    """

    class Build(models.TextChoices):
        VERTICAL_HOLLOW = "vertical_hollow", _("vertical hollow shaft")
        VERTICAL_SOLID = "vertical_solid", _("vertical solid shaft")
        HORIZONTAL = "horizontal", _("horizontal")

    customer = models.ForeignKey(Customer, models.PROTECT, related_name="motors")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="motors")
    tag = models.CharField(_("customer's tag"), max_length=80, blank=True)
    serial = models.CharField(_("serial number"), max_length=80, blank=True)
    serial_state = models.CharField(max_length=10, default="read")
    build = models.CharField(_("build"), max_length=20, choices=Build.choices, default=Build.VERTICAL_HOLLOW)
    nameplate = models.JSONField(default=dict, blank=True)
    plate_photo = models.ForeignKey(Photo, models.PROTECT, null=True, blank=True, related_name="+")
    note = models.TextField(_("note"), blank=True, max_length=2000)
    version = models.PositiveIntegerField(default=1)

    objects = MotorQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["serial"], name="motor_serial"),
            models.Index(fields=["tag"], name="motor_tag"),
        ]

    def __str__(self) -> str:
        return self.tag or self.serial or _("motor {number}").format(number=self.pk)

    @property
    def is_vertical(self) -> bool:
        return self.build != self.Build.HORIZONTAL

    def si(self, key: str) -> Any:
        """Return a plate value in SI, or None when it was not read."""
        entry = self.nameplate.get(key)
        return entry.get("si") if entry and entry.get("state") in {"read", "inferred"} else None
