"""One row for each piece of long work: who asked, how far it is, what came of it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, Final

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from repairs.long_work.life_signs import is_alive

# A process of which nobody can say whether it lives is taken for dead when it said nothing for so long.
SILENT_FOR: Final = timedelta(minutes=1)
# One that surely lives is given longer: a step that says nothing may take a while.
STUCK_AFTER: Final = timedelta(minutes=10)
# A process that was started takes its row over within seconds, on a busy machine too.
STARTS_WITHIN: Final = timedelta(seconds=20)


class LongWorkQuerySet(models.QuerySet["LongWork"]):
    def going(self) -> LongWorkQuerySet:
        """Work that waits or runs and has told so lately."""
        states = (LongWork.State.WAITING, LongWork.State.RUNNING)
        return self.filter(state__in=states, heartbeat__gte=timezone.now() - SILENT_FOR)

    def startable(self) -> LongWorkQuerySet:
        """Work that waits, or whose process has fallen silent."""
        silent = models.Q(state=LongWork.State.RUNNING, heartbeat__lt=timezone.now() - SILENT_FOR)
        return self.filter(models.Q(state=LongWork.State.WAITING) | silent)

    def latest_of(self, *kinds: str) -> LongWork | None:
        """The newest piece of work of these kinds."""
        return self.filter(kind__in=kinds).order_by("-id").first()


class LongWork(models.Model):
    """One piece of work.

    ``attempt`` counts its starts: a process that fell silent and wakes up after another one took the work over
    sees that the number is no longer its own, and stops. ``mark`` names the lock that the running process holds.
    """

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        RUNNING = "running", _("running")
        DONE = "done", _("done")
        FAILED = "failed", _("failed")

    kind = models.CharField(max_length=40)
    key = models.CharField(max_length=64, blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    asked_by_name = models.CharField(max_length=150)
    asked_at = models.DateTimeField(auto_now_add=True)
    started_at = models.DateTimeField(null=True)
    finished_at = models.DateTimeField(null=True)
    heartbeat = models.DateTimeField(default=timezone.now)
    attempt = models.PositiveIntegerField(default=0)
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    parameters = models.JSONField(default=dict)
    outcome = models.JSONField(default=dict)
    error = models.TextField(blank=True)
    mark = models.CharField(max_length=32, blank=True)

    objects = LongWorkQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "key"], condition=~models.Q(key=""), name="long_work_once"
            )
        ]
        indexes = [models.Index(fields=["kind", "state"], name="long_work_kind_state")]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"

    @property
    def is_interrupted(self) -> bool:
        """Whether nobody works on it although it is not finished."""
        silent = timezone.now() - self.heartbeat
        if self.state == self.State.WAITING:
            return silent > STARTS_WITHIN
        if self.state != self.State.RUNNING:
            return False
        alive = is_alive(self.mark)
        return not alive if alive is not None and silent <= STUCK_AFTER else silent > SILENT_FOR

    @property
    def is_going(self) -> bool:
        """Whether it waits or runs, as far as anybody knows."""
        return self.state in {self.State.WAITING, self.State.RUNNING} and not self.is_interrupted

    @property
    def may_start_again(self) -> bool:
        return self.is_interrupted or self.state == self.State.FAILED

    @property
    def state_words(self) -> Any:
        """The state as people read it."""
        return _("interrupted") if self.is_interrupted else self.get_state_display()
