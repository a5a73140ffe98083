"""Motors. A motor lives on across jobs; its plate is evidence, so every field says how it was read."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Subquery
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Customer, Site
from repairs.edge.names import number_key
from repairs.photos.models import Photo


class MotorQuerySet(models.QuerySet["Motor"]):
    def current(self) -> MotorQuerySet:
        """Motors without those that turned out to be another one of the list."""
        return self.filter(merged_into__isnull=True)

    def with_serial(self, typed: str) -> MotorQuerySet:
        """Motors that bear a serial number, whatever its spaces, dashes and case; none for an empty one."""
        key = number_key(typed)
        return self.current().filter(serial_key=key) if key else self.none()

    def called(self, typed: str) -> MotorQuerySet:
        """Motors whose serial number, tag or owner holds what was typed; all of them when nothing was."""
        text, key = typed.strip(), number_key(typed)
        if not text:
            return self
        called = (
            models.Q(serial__icontains=text)
            | models.Q(tag__icontains=text)
            | models.Q(customer__name__icontains=text)
        )
        return self.filter(called | models.Q(serial_key__contains=key) if key else called)

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
    serial_key = models.CharField(max_length=160, blank=True, editable=False)
    serial_state = models.CharField(max_length=10, default="read")
    build = models.CharField(_("build"), max_length=20, choices=Build.choices, default=Build.VERTICAL_HOLLOW)
    nameplate = models.JSONField(default=dict, blank=True)
    plate_photo = models.ForeignKey(Photo, models.PROTECT, null=True, blank=True, related_name="+")
    note = models.TextField(_("note"), blank=True, max_length=2000)
    merged_into = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, editable=False, related_name="merged"
    )
    version = models.PositiveIntegerField(default=1)

    objects = MotorQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["serial"], name="motor_serial"),
            models.Index(fields=["serial_key"], name="motor_serial_key"),
            models.Index(fields=["tag"], name="motor_tag"),
        ]

    def __str__(self) -> str:
        return self.tag or self.serial or _("motor {number}").format(number=self.pk)

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.serial_key = number_key(self.serial)
        super().save(*args, **kwargs)

    @property
    def is_vertical(self) -> bool:
        return self.build != self.Build.HORIZONTAL

    def si(self, key: str) -> Any:
        """Return a plate value in SI, or None when it was not read."""
        entry = self.nameplate.get(key)
        return entry.get("si") if entry and entry.get("state") in {"read", "inferred"} else None


class ThrustSheetQuerySet(models.QuerySet["ThrustSheet"]):
    def of(self, motor: Motor) -> ThrustSheetQuerySet:
        """Every revision of a motor's thrust sheet, newest first."""
        return self.filter(motor=motor).order_by("-revision")

    def newest_values(self, motor_reference: str) -> Subquery:
        """What papers and pages ask of a motor's newest revision, as one column of another query."""
        newest = self.filter(motor_id=OuterRef(motor_reference)).order_by("-revision")
        return Subquery(newest.values("summary")[:1], output_field=models.JSONField())


class ThrustSheet(models.Model):
    """One revision of a motor's thrust sheet. A signed one never changes; a change is a new revision.

    ``entries`` maps a key of ``thrust_fields.FIELDS`` to what was typed, its unit and the same in SI, as on a plate.
    ``summary`` is what was worked out of them when they were saved; nothing works it out again later.
    ``confirmed`` names the unlikely figures that a person said were right.
    """

    motor = models.ForeignKey(Motor, models.PROTECT, related_name="thrust_sheets")
    revision = models.PositiveIntegerField(default=1)
    entries = models.JSONField(default=dict, blank=True)
    confirmed = models.JSONField(default=list, blank=True)
    summary = models.JSONField(default=dict, blank=True)
    reason = models.CharField(_("reason for this revision"), max_length=200, blank=True)
    version = models.PositiveIntegerField(default=1)
    saved_at = models.DateTimeField(auto_now=True)
    saved_by = models.CharField(max_length=150)
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    signed_name = models.CharField(max_length=150, blank=True)
    used_at = models.DateTimeField(null=True, blank=True)

    objects = ThrustSheetQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["motor", "revision"], name="thrust_sheet_revision_once"),
            models.CheckConstraint(
                condition=models.Q(signed_at__isnull=True, used_at__isnull=True)
                | models.Q(signed_at__isnull=False, signed_by__isnull=False),
                name="thrust_sheet_used_only_signed",
            ),
        ]

    def __str__(self) -> str:
        return _("thrust sheet of {motor}, revision {number}").format(motor=self.motor, number=self.revision)

    @property
    def is_signed(self) -> bool:
        return self.signed_at is not None
