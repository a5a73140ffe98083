"""Which signed stacks stand today: those of open jobs, and those that turn in motors in service."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.db.models import Exists, OuterRef, Q, QuerySet

from repairs.work_orders.models import Job, StackRecord, Stage

# As found tells what was; it is never built again, so nobody asks whether it would still pass.
JUDGED_AGAIN: Final = (Stage.SPECIFIED, Stage.AS_BUILT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What a run covers: open jobs, motors in service, or both, of the whole shop or of one motor."""

    jobs: bool = True
    motors: bool = True
    motor_id: int | None = None


def standing_records(scope: Scope) -> QuerySet[StackRecord]:
    """Return the signed records that a run judges again, without an order."""
    rows = StackRecord.objects.filter(state=StackRecord.State.SIGNED)
    if scope.motor_id is not None:
        rows = rows.filter(job__motor_id=scope.motor_id)
    chosen = Q(pk__in=())
    if scope.jobs:
        chosen |= _of_open_jobs()
    if scope.motors:
        chosen |= _in_service()
    return rows.filter(chosen)


def _of_open_jobs() -> Q:
    """The newest signed revision, specified and as built, of every open job."""
    newer = StackRecord.objects.filter(
        job=OuterRef("job"),
        stage=OuterRef("stage"),
        revision__gt=OuterRef("revision"),
        state=StackRecord.State.SIGNED,
    )
    return Q(job__state=Job.State.OPEN, stage__in=JUDGED_AGAIN) & ~Q(Exists(newer))


def _in_service() -> Q:
    """The stack that turns in each motor in service.

    A motor is in service when the shop closed a job on it and has no open one. What turns in it is the newest stack
    signed as built in any of its closed jobs: a later visit that left the stack alone has no record of its own.
    What a cancelled job had built is not counted, as nobody signed that it left the shop.
    """
    back_in_the_shop = Job.objects.filter(motor=OuterRef("job__motor"), state=Job.State.OPEN)
    newer = StackRecord.objects.filter(
        job__motor=OuterRef("job__motor"),
        job__state=Job.State.CLOSED,
        stage=Stage.AS_BUILT,
        state=StackRecord.State.SIGNED,
        pk__gt=OuterRef("pk"),
    )
    built = Q(job__state=Job.State.CLOSED, stage=Stage.AS_BUILT)
    return built & ~Q(Exists(back_in_the_shop)) & ~Q(Exists(newer))


def for_judging(rows: QuerySet[StackRecord]) -> QuerySet[StackRecord]:
    """Records with what judging needs of the rows around them, without what it does not read."""
    return rows.select_related("job__motor", "assessment").defer(
        "undo", "differences", "note", "assessment__stack", "job__complaint", "job__alert"
    )
