"""Read what a job's page shows.

The page is opened all day long. So rows come as plain values, each joined table in the query of its parent. With the
job's own row and the reader's two that makes ten; the shop's limits are the eleventh while a stack is open, damage
that was found on parts the twelfth where there is any. A query
over several tables is put together once: to name its columns at every visit costs more than the database takes.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final, TypeAlias

from django.db.models import QuerySet
from django.db.models.functions import Coalesce

from repairs.ledger.models import Event
from repairs.measurements.models import Observation, Reading
from repairs.work_orders.models import HandOver, Job, JobPhoto, Step

EVENTS_SHOWN: Final = 20
NOTES_SHOWN: Final = 6

Rows: TypeAlias = "QuerySet[Any, tuple[Any, ...]]"


def route_lines(job: Job) -> Rows:
    """Return the route with who signed what: a line for each signature, one for a step without."""
    return _route_lines().filter(job=job)


@cache
def _route_lines() -> Rows:
    return Step.objects.order_by("position", "sign_offs__id").values_list(
        "pk", "kind", "title", "state", "skip_reason", "ended_at", "sign_offs__person_name", "sign_offs__at",
        "sign_offs__signed_as", "sign_offs__note",
    )  # fmt: skip


def hand_overs(job: Job) -> QuerySet[HandOver, Any]:
    """Return the last hand-over notes, newest first."""
    return _hand_overs().filter(job=job)[:NOTES_SHOWN]


@cache
def _hand_overs() -> QuerySet[HandOver, Any]:
    return HandOver.objects.values(
        "written_at", "written_by__first_name", "written_by__last_name", "written_by__username", "done", "parts_lie",
        "danger", "lock_of", "not_to_trust", "next_action", "accepted_at", "accepted_by__first_name",
        "accepted_by__last_name", "accepted_by__username",
    )  # fmt: skip


def photo_lines(job: Job) -> Rows:
    """Return photos and their marks: a line for each mark, one for a photo without marks."""
    return _photo_lines().filter(job=job)


@cache
def _photo_lines() -> Rows:
    shown = JobPhoto.objects.filter(withdrawn_at__isnull=True).order_by("pk", "photo__marks__id")
    return shown.values_list(
        "pk", "photo_id", "photo__caption", "stack_record_id", "step__title", "photo__marks__item_uid",
        "photo__marks__label", "photo__marks__x", "photo__marks__y",
    )  # fmt: skip


def readings(job: Job) -> Rows:
    """Return the readings that stand, each with the time of its making."""
    return _readings().filter(job=job)


@cache
def _readings() -> Rows:
    return Reading.objects.standing().order_by("id").values_list(
        "quantity", "value", "unit", "limit_low", "limit_high", "limit_source", "verdict", "moment", "person_name",
        Coalesce("made_at", "at"), "note", "arrived_later",
    )  # fmt: skip


def observations(job: Job) -> list[Observation]:
    """Return what was seen on the parts; a job without any, as its own row says, asks nothing."""
    return list(Observation.objects.of_job(job).standing()) if getattr(job, "observed", None) else []


def events(job: Job) -> Rows:
    """Return the last events, newest first."""
    rows = Event.objects.of_job(job.number)
    return rows.values_list("pk", "at", "actor_name", "verb", "before", "after", "reason")[:EVENTS_SHOWN]
