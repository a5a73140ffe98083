"""The time of making, as a part of other tables."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _


class MadeAtBench(models.Model):
    """An entry that was made on a tablet at one time and arrived at another.

    ``made_at`` is the tablet's own clock; empty where the entry was made and stored at once. ``arrived_later`` says
    that the step which it belongs to was signed or skipped in between.
    """

    made_at = models.DateTimeField(_("made"), null=True, blank=True)
    arrived_later = models.BooleanField(_("arrived later"), default=False)

    class Meta:
        abstract = True
