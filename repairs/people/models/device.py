"""A tablet that several people share."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

CODE_HOLDS: Final = timedelta(minutes=15)


class DeviceQuerySet(models.QuerySet["Device"]):
    def in_use(self) -> DeviceQuerySet:
        """Devices that hold a token and were not withdrawn."""
        return self.filter(withdrawn_at__isnull=True).exclude(token_hash="")

    def not_withdrawn(self) -> DeviceQuerySet:
        """Devices in use, and those that wait for their code to be typed."""
        return self.filter(withdrawn_at__isnull=True)

    def with_pin_of(self, person_id: int) -> DeviceQuerySet:
        """Each with ``pin_version``, the number of a person's PIN, so that one query answers for both."""
        from repairs.people.models.pin import Pin

        versions = Pin.objects.filter(person_id=person_id).values("version")[:1]
        return self.annotate(pin_version=models.Subquery(versions))

    def with_people(self) -> DeviceQuerySet:
        """Devices with whoever added and withdrew them, those in use first."""
        people = self.select_related("added_by", "withdrawn_by")
        return people.order_by(models.F("withdrawn_at").desc(nulls_first=True), "name")


class Device(models.Model):
    """A tablet of the shop. It holds a random token in a cookie; only the token's hash stands here."""

    name = models.CharField(_("name"), max_length=60)
    added_at = models.DateTimeField(auto_now_add=True)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    code_hash = models.CharField(max_length=64, blank=True)
    code_until = models.DateTimeField(null=True)
    token_hash = models.CharField(max_length=64, blank=True)
    enrolled_at = models.DateTimeField(null=True)
    enrolled_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    last_seen = models.DateTimeField(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")

    objects = DeviceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["name"], condition=Q(withdrawn_at__isnull=True), name="device_name_once"
            ),
            models.UniqueConstraint(
                fields=["token_hash"], condition=~Q(token_hash=""), name="device_token_once"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def state(self) -> str:
        """One of withdrawn, in_use, code_waits, code_expired."""
        if self.withdrawn_at is not None:
            return "withdrawn"
        if self.token_hash:
            return "in_use"
        return "code_waits" if self.code_holds(timezone.now()) else "code_expired"

    def code_holds(self, now: datetime) -> bool:
        """Whether a code was given for this device that may still be typed.

        One that seems to hold longer than any code does was given before the clock was set back.
        """
        if not self.code_hash or self.code_until is None:
            return False
        return timedelta(0) < self.code_until - now <= CODE_HOLDS
