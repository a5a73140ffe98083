"""Read everything that the history of a motor rests on: one query for each kind of row, however many visits."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

from django.utils import timezone

from repairs.measurements.models import Observation, Reading, SeatRecord
from repairs.motors.models import Motor
from repairs.work_orders.histories import SHOWN
from repairs.work_orders.models import Job, StackRecord, Stage, StrippedPart, UsedPart

Fate = StrippedPart.Disposition
# What did not go back into the motor.
GONE: Final = (Fate.REPLACE, Fate.SCRAP, Fate.CUSTOMER)


@dataclass(frozen=True, slots=True)
class Visit:
    """One job of the motor."""

    pk: int
    number: str
    day: date
    is_open: bool


@dataclass(frozen=True, slots=True)
class History:
    """A motor's visits, oldest first, with the rows of all of them."""

    visits: list[Visit]
    readings: list[Reading]
    seats: list[SeatRecord]
    observations: list[Observation]
    stacks: list[StackRecord]
    used: list[UsedPart]
    gone: list[StrippedPart]
    bearings: list[dict[str, Any]] = field(default_factory=list)

    def newest_stack(self, visit: Visit, stage: str) -> StackRecord | None:
        """Return the newest record of a stage at a visit."""
        own = [one for one in self.stacks if (one.job_id, one.stage) == (visit.pk, stage)]
        return max(own, key=lambda one: one.revision, default=None)


def read_history(motor: Motor) -> History:
    """Return the newest visits of a motor with what was measured and seen on them."""
    rows = Job.objects.filter(motor=motor).order_by("-id").values_list("pk", "number", "opened_at", "state")
    visits = [
        Visit(pk, number, timezone.localtime(opened).date(), state == Job.State.OPEN)
        for pk, number, opened, state in reversed(rows[:SHOWN])
    ]
    jobs = [visit.pk for visit in visits]
    observations = list(Observation.objects.of_jobs(jobs).standing())
    stacks = list(StackRecord.objects.of_jobs(jobs, (Stage.AS_FOUND, Stage.AS_BUILT)))
    history = History(
        visits=visits,
        readings=list(Reading.objects.of_jobs(jobs).standing()),
        seats=list(SeatRecord.objects.of_jobs(jobs).standing()),
        observations=observations,
        stacks=stacks,
        used=list(UsedPart.objects.filter(job__in=jobs, withdrawn_at__isnull=True)),
        gone=list(StrippedPart.objects.filter(job__in=jobs, disposition__in=GONE)),
    )
    history.bearings.extend(Observation.objects.by_bearing(sorted(_designations(history))))
    return history


def _designations(history: History) -> set[str]:
    """Return which bearings the motor has, or had when it was found damaged."""
    found = {row.designation for row in history.observations if row.designation}
    ended = {visit.pk for visit in history.visits if not visit.is_open}
    for record in history.stacks:
        # What is built on an open job is told by its own pages, and not to everybody.
        if record.stage != Stage.AS_FOUND and record.job_id not in ended:
            continue
        entries = [*record.items, *record.guides]
        found |= {
            str(entry["data"]["designation"])[:80] for entry in entries if entry["data"].get("designation")
        }
    return found
