"""Which signed stacks stand today: those of open jobs, and those that turn in motors in service."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from repairs.work_orders.models import Job, StackRecord, Stage

# As found tells what was; it is never built again, so nobody asks whether it would still pass.
JUDGED_AGAIN: Final = (Stage.SPECIFIED, Stage.AS_BUILT)
ANSWER_PARTS: Final = ("speed", "life", "findings", "headline", "subjects", "build")


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


# The state of the job is asked of each record in turn, not joined: so a run reads the records in the order of their
# keys, a chunk costs the same in a large shop, and nothing is sorted.
def _of_open_jobs() -> Q:
    """The newest signed revision, specified and as built, of every open job."""
    newer = StackRecord.objects.filter(
        job=OuterRef("job"),
        stage=OuterRef("stage"),
        revision__gt=OuterRef("revision"),
        state=StackRecord.State.SIGNED,
    )
    return Q(_job_is(Job.State.OPEN), ~Exists(newer), stage__in=JUDGED_AGAIN)


def _in_service() -> Q:
    """The stack that turns in each motor in service.

    A motor is in service when the shop closed a job on it and has no open one. What turns in it is the newest stack
    signed as built in any of its closed jobs: a later visit that left the stack alone has no record of its own.
    What a cancelled job had built is not counted, as nobody signed that it left the shop.
    """
    # The visit itself is found by its key, and the motor's other jobs from there.
    visit = Job.objects.filter(pk=OuterRef("job"))
    back_in_the_shop = visit.filter(motor__jobs__state=Job.State.OPEN)
    built_later = visit.filter(
        motor__jobs__state=Job.State.CLOSED,
        motor__jobs__stack_records__stage=Stage.AS_BUILT,
        motor__jobs__stack_records__state=StackRecord.State.SIGNED,
        motor__jobs__stack_records__pk__gt=OuterRef("pk"),
    )
    return Q(_job_is(Job.State.CLOSED), ~Exists(back_in_the_shop), ~Exists(built_later), stage=Stage.AS_BUILT)


def _job_is(state: str) -> Exists:
    return Exists(Job.objects.filter(pk=OuterRef("job"), state=state))


def for_judging(rows: QuerySet[StackRecord]) -> QuerySet[StackRecord]:
    """Records with what judging needs of the rows around them.

    Of the stored answer only what an outcome is made of leaves the database: it is a twentieth of the whole.
    """
    parts = {f"stored_{key}": F(f"assessment__answer__{key}") for key in ANSWER_PARTS}
    unread = ("undo", "differences", "note", "job__complaint", "job__alert")
    return (
        rows.select_related("job__motor")
        .prefetch_related("job__seats")
        .defer(*unread)
        .annotate(stored_stack=F("assessment__stack"), **parts)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredParts:
    """What ``for_judging`` fetched of a stored assessment: its inputs, which checker it was, what its outcome needs."""

    stack: dict[str, Any]
    build: str | None
    answer: dict[str, Any]


def stored_parts(record: StackRecord) -> StoredParts | None:
    """Return the parts of a record's stored assessment; None when none was stored."""
    if record.assessment_id is None:
        return None
    answer = {key: getattr(record, f"stored_{key}") for key in ANSWER_PARTS}
    return StoredParts(stack=record.stored_stack, build=answer.pop("build"), answer=answer)  # type: ignore[attr-defined]
