"""What a job, a motor or a customer can be found by, from its first character on."""

from __future__ import annotations

from django.db import models


class SearchKey(models.Model):
    """The beginning of something that a person may type. A table beside it, without a model, holds every fragment.

    Keys are compared by their bytes (a migration sees to it on PostgreSQL), so that a prefix is one range.
    """

    class Kind(models.IntegerChoices):
        JOB = 0
        MOTOR = 1
        CUSTOMER = 2

    LONGEST = 130

    kind = models.PositiveSmallIntegerField(choices=Kind.choices)
    subject_id = models.BigIntegerField()
    key = models.CharField(max_length=LONGEST)

    class Meta:
        indexes = [
            models.Index(fields=["kind", "key", "-subject_id"], name="search_key_prefix"),
            models.Index(fields=["kind", "subject_id"], name="search_key_subject"),
        ]

    def __str__(self) -> str:
        return self.key
