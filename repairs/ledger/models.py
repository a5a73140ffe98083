"""Append-only events, and the keys that make a resubmitted form harmless."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db import models
from django.utils.dateparse import parse_datetime


def made_at_of(after: Mapping[str, Any] | None) -> datetime | None:
    """Return when an entry was made by the tablet's clock, from what its event keeps; None where it came at once."""
    text = (after or {}).get("made_at")
    return parse_datetime(text) if isinstance(text, str) else None


class EventQuerySet(models.QuerySet["Event"]):
    def of_job(self, number: str) -> EventQuerySet:
        """Events of one job, newest first."""
        return self.filter(job_number=number).order_by("-id")


class Event(models.Model):
    """One thing that a person did. The database refuses to change or delete a row."""

    at = models.DateTimeField(auto_now_add=True)
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    actor_name = models.CharField(max_length=150)
    device = models.CharField(max_length=80, blank=True)
    verb = models.CharField(max_length=60)
    subject_type = models.CharField(max_length=40)
    subject_id = models.CharField(max_length=40)
    job_number = models.CharField(max_length=20, blank=True)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)
    reason = models.TextField(blank=True)

    objects = EventQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["job_number", "-id"], name="event_job"),
            models.Index(fields=["subject_type", "subject_id", "-id"], name="event_subject"),
        ]

    def __str__(self) -> str:
        return f"{self.verb} {self.subject_type} {self.subject_id}"

    @property
    def made_at(self) -> datetime:
        """When it was done: by the tablet's clock where the entry was sent later, else when it arrived."""
        return made_at_of(self.after) or self.at


class SubmittedForm(models.Model):
    """A form that was carried out: the same key answers as before, and does nothing twice."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    key = models.CharField(max_length=64)
    body_hash = models.CharField(max_length=64)
    answer = models.JSONField()
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "key"], name="submitted_form_once")]

    def __str__(self) -> str:
        return self.key
