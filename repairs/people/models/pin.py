"""A person's PIN for shared tablets, and the wrong tries that are counted."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.utils import timezone

from repairs.people.models.device import Device
from repairs.people.permissions import BENCH_ROLES
from repairs.people.pin_rules import MOST_TRIES, ONE_TIME_HOLDS, lock_for, wait_after


class PinQuerySet(models.QuerySet["Pin"]):
    def of_people_who_work(self) -> PinQuerySet:
        """PINs of people who may use a shared tablet, with the person, by name."""
        people = self.select_related("person").filter(person__is_active=True, person__role__in=BENCH_ROLES)
        return people.order_by("person__first_name", "person__last_name", "person__username")

    def locked(self) -> PinQuerySet:
        """PINs that were tried wrongly too often and are shut for now."""
        return self.filter(locked_until__gt=timezone.now(), failures__gte=MOST_TRIES)


class Pin(models.Model):
    """A PIN opens the bench on an enrolled tablet and nothing else.

    It is a row of its own, so that counting a wrong try never writes over a change of the person.
    """

    person = models.OneToOneField(settings.AUTH_USER_MODEL, models.CASCADE, related_name="pin")
    hash = models.CharField(max_length=200)
    set_at = models.DateTimeField()
    one_time = models.BooleanField(default=False)
    valid_until = models.DateTimeField(null=True)
    version = models.PositiveIntegerField(default=1)
    failures = models.PositiveSmallIntegerField(default=0)
    lockouts = models.PositiveSmallIntegerField(default=0)
    last_try_at = models.DateTimeField(null=True)
    locked_until = models.DateTimeField(null=True)

    objects = PinQuerySet.as_manager()

    def __str__(self) -> str:
        return f"PIN of {self.person_id}"

    def is_locked(self, now: datetime) -> bool:
        """Whether it was tried wrongly so often that no try counts for now."""
        return self.locked_until is not None and now < self.locked_until

    def open_again_at(self, now: datetime) -> datetime | None:
        """When a lock ends as far as is known now: never later than a whole lock from now, whatever the clock did."""
        return self.locked_until and min(self.locked_until, now + lock_for(max(0, self.lockouts - 1)))

    def settle_clock(self, now: datetime) -> bool:
        """Begin running times anew where the clock was set back behind the last try; say whether anything changed.

        Nobody knows how much of them has passed. Without this a name would stay shut until the clock had caught up.
        """
        if self.last_try_at is None or self.last_try_at <= now:
            return False
        self.locked_until = self.open_again_at(now)
        self.last_try_at = now
        return True

    def is_over(self, now: datetime) -> bool:
        """Whether it was given for one use and nobody used it in time, or the clock no longer tells."""
        if self.valid_until is None:
            return False
        return not timedelta(0) < self.valid_until - now <= ONE_TIME_HOLDS

    def wait_until(self, now: datetime) -> datetime | None:
        """When the next try is taken, where that is not at once."""
        if self.last_try_at is None:
            return None
        at = self.last_try_at + wait_after(self.failures)
        return at if now < at else None


class PinTry(models.Model):
    """A try that failed, or is being compared just now; the ones that were right are taken out again."""

    at = models.DateTimeField(db_index=True)
    device = models.ForeignKey(Device, models.CASCADE, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M:%S}"
