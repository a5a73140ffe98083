"""What pages ask of the re-checks: filters of a run's list, flags of jobs and motors, whether a run is due."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.db import connection
from django.db.models import BooleanField, Subquery
from django.db.models.expressions import RawSQL
from django.db.models.functions import Coalesce

from repairs.ledger.models import Event
from repairs.motors.models import Motor, MotorQuerySet
from repairs.rechecks.models import Change, ChangeQuerySet, Recheck, RecheckQuerySet
from repairs.rechecks.services import BOOK_SUBJECTS
from repairs.rechecks.standing import Scope, standing_records
from repairs.work_orders.models import Job, StackRecord
from repairs.work_orders.models.jobs import JobQuerySet

SHOWN_ON_A_PAGE: Final = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeFilter:
    """What an address asks of a run's list; what it does not understand it leaves out."""

    what: str = ""
    where: str = ""
    unseen: bool = False

    WHAT = ("stop", "worse", "better")
    WHERE = ("jobs", "motors")

    @classmethod
    def from_query(cls, query: Mapping[str, str]) -> ChangeFilter:
        """Read the filter from an address."""
        what, where = query.get("what", ""), query.get("where", "")
        return cls(
            what=what if what in cls.WHAT else "",
            where=where if where in cls.WHERE else "",
            unseen=query.get("unseen") == "1",
        )

    def of(self, recheck: Recheck) -> ChangeQuerySet:
        """Return the changes of a run that pass, without an order."""
        rows = Change.objects.filter(recheck=recheck)
        if self.what == "stop":
            rows = rows.filter(became_stop=True)
        elif self.what:
            rows = rows.filter(became_stop=False, is_worse=self.what == "worse")
        if self.where:
            rows = rows.filter(in_service=self.where == "motors")
        return rows.unseen() if self.unseen else rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What stands behind the button that has all stacks checked again."""

    count: int
    book_changed: bool
    going: Recheck | None


def whole_runs() -> RecheckQuerySet:
    """Return the runs over all jobs and motors of the shop, newest first."""
    return Recheck.objects.whole().filter(jobs=True, motors=True).order_by("-pk")


def going_run() -> Recheck | None:
    """Return the newest run over the whole shop while it waits or is under way, else nothing."""
    last = whole_runs().select_related("work").first()
    return last if last and last.work and last.work.is_going else None


def offer() -> Offer:
    """Return how many stacks stand today, and whether the book changed since they were judged last."""
    return _offer(book_changed=_book_changed())


def book_offer() -> Offer | None:
    """Return the offer while the book holds something that no run has seen yet and stacks stand; else nothing."""
    if not _book_changed():
        return None
    offered = _offer(book_changed=True)
    return offered if offered.count else None


def _offer(*, book_changed: bool) -> Offer:
    return Offer(count=standing_records(Scope()).count(), book_changed=book_changed, going=going_run())


def _book_changed() -> bool:
    seen = Coalesce(Subquery(whole_runs().values("book_event")[:1]), 0)
    return Event.objects.filter(subject_type__in=BOOK_SUBJECTS, pk__gt=seen).exists()


# Said in SQL: board and job page ask this each time, and building it costs more than the database takes to answer.
_OPEN: Final = "told AND seen_at IS NULL AND replaced_by_id IS NULL"
_OF_JOB: Final = (
    f"EXISTS (SELECT 1 FROM rechecks_change WHERE job_id = work_orders_job.id AND {_OPEN} AND NOT in_service)"
)
_OF_MOTOR: Final = f"EXISTS (SELECT 1 FROM rechecks_change WHERE motor_id = motors_motor.id AND {_OPEN})"


def flags_of_jobs(jobs: Iterable[int]) -> dict[int, bool]:
    """Return which of these jobs a re-check has something to say of; True where a stack became stop."""
    asked, flags = list(jobs), dict[int, bool]()
    if not asked:
        return flags
    places = ", ".join(["%s"] * len(asked))
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT job_id, became_stop FROM rechecks_change WHERE job_id IN ({places}) AND {_OPEN}"
            " AND NOT in_service",
            asked,
        )
        for job, became_stop in cursor.fetchall():
            flags[job] = flags.get(job, False) or bool(became_stop)
    return flags


def with_rechecks_of_jobs(jobs: JobQuerySet) -> JobQuerySet:
    """Jobs that know whether a re-check has something to say of them, so that nobody asks for the rest in vain."""
    return jobs.annotate(rechecked=RawSQL(_OF_JOB, (), output_field=BooleanField()))


def with_rechecks_of_motors(motors: MotorQuerySet) -> MotorQuerySet:
    """Motors that know whether a re-check has something to say of them."""
    return motors.annotate(rechecked=RawSQL(_OF_MOTOR, (), output_field=BooleanField()))


def newer_revision(change: Change) -> int | None:
    """Return the newest revision of the same stage that was signed after the one that changed."""
    record = change.record
    rows = StackRecord.objects.signed().filter(job_id=record.job_id, stage=record.stage)
    newest = rows.filter(revision__gt=record.revision).order_by("-revision")
    return newest.values_list("revision", flat=True).first()


def told_of_job(job: Job) -> list[Change]:
    """Return what a job's page says of re-checks, the gravest first, in one query or none."""
    if not getattr(job, "rechecked", True):
        return []
    rows: Any = Change.objects.told().filter(job=job, in_service=False).select_related("recheck", "record")
    return list(rows.gravest_first()[:SHOWN_ON_A_PAGE])


def told_of_motor(motor: Motor) -> list[Change]:
    """Return what a motor's page says of re-checks, the gravest first, in one query or none."""
    if not getattr(motor, "rechecked", True):
        return []
    rows: Any = Change.objects.told().filter(motor=motor).select_related("recheck", "record", "job")
    return list(rows.gravest_first()[:SHOWN_ON_A_PAGE])
