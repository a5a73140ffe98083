"""What waits for a person at the bench: jobs handed over to them, stacks that only they may verify or approve."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q, QuerySet

from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.models import HandOver, Job, SignOff, StackRecord, Stage, StepKind


@dataclass(frozen=True, slots=True)
class Waiting:
    """A job that waits for a person, and what it waits for: ``handed``, ``second_person`` or ``approval``."""

    job: Job
    why: str


def handed_to(user: User) -> QuerySet[Job]:
    """Return the open jobs that are handed over to a person, or to whoever comes, those meant for them first."""
    notes = HandOver.objects.filter(job=OuterRef("pk"), accepted_at__isnull=True).exclude(written_by=user)
    meant, to_all = Exists(notes.filter(meant_for=user)), Exists(notes.filter(meant_for__isnull=True))
    jobs = Job.objects.open().with_motor().filter(meant | to_all, hand_over_open=True)
    return jobs.order_by(meant.desc(), "due_on", "id")


def to_verify(user: User) -> QuerySet[Job]:
    """Return the jobs whose built stack a second person must see, and which this person did not build."""
    built = StackRecord.objects.filter(job=OuterRef("pk"), stage=Stage.AS_BUILT)
    mounted = SignOff.objects.filter(
        step__job=OuterRef("pk"), step__kind=StepKind.MOUNT, person=user, signed_as=SignOff.As.WORKER
    )
    own = built.filter(Q(started_by=user) | Q(submitted_by=user))
    jobs = Job.objects.open().with_motor().filter(step_kind=StepKind.SECOND_PERSON, on_hold=False)
    return jobs.filter(Exists(built), ~Exists(own), ~Exists(mounted)).order_by("due_on", "id")


def to_approve(user: User) -> QuerySet[Job]:
    """Return the jobs whose specified or proposed stack was handed to the lead, and those that stand at that step."""
    if not user.may(Permission.APPROVE_STACKS):
        return Job.objects.none()
    handed = StackRecord.objects.filter(
        job=OuterRef("pk"), stage=Stage.SPECIFIED, state=StackRecord.State.SUBMITTED
    )
    at_it = Q(step_kind=StepKind.SPECIFY, on_hold=False)
    return Job.objects.open().with_motor().filter(Exists(handed) | at_it).order_by("due_on", "id")


def waiting_for(user: User, most: int) -> list[Waiting]:
    """Return what waits for a person, at most so many of each kind."""
    kinds = (("handed", handed_to(user)), ("approval", to_approve(user)), ("second_person", to_verify(user)))
    return [Waiting(job, why) for why, jobs in kinds for job in jobs[:most]]
