"""What the newer edition of an invented book makes of two stacks: one becomes STOP, the other loses margin."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from repairs.ledger.services import Actor
from repairs.management.shop.opened import Opened, Ratings
from repairs.management.shop.shipping import build, lay_out_dry, test_and_ship
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, RouteTemplate, StackRecord, Stage, StepKind
from repairs.work_orders.services.opening import close_job, open_job
from repairs.work_orders.services.stack_approving import specify_as_proposed
from repairs.work_orders.services.stack_signing import sign_record

# The edition of 2019 prints 3000 rpm for it, that of 2024 less: see SLOWED in the book.
RATING = "7318 A 2019"


def open_jobs_of_the_older_edition(
    actors: dict[str, Actor], motors: dict[str, Motor], ratings: Ratings, template: RouteTemplate
) -> None:
    """Open a job whose stack is approved by the older edition, and let a motor go into service with the same."""
    _well9(_opened(actors, motors["well9"], ratings, template, "Loud at full load since the new pump.", 9))
    _well2(_opened(actors, motors["well2"], ratings, template, "Yearly overhaul.", 3))


def _opened(
    actors: dict[str, Actor],
    motor: Motor,
    ratings: Ratings,
    template: RouteTemplate,
    complaint: str,
    days: int,
) -> Opened:
    today = timezone.localdate()
    job = open_job(
        actor=actors["office"],
        motor=motor,
        customer=motor.customer,
        site=motor.site,
        complaint=complaint,
        today=today,
        promised_on=today + timedelta(days=days),
        template=template,
    )
    return Opened(job, actors, ratings)


def _found_and_proposed(work: Opened) -> StackRecord:
    found = work.record(Stage.AS_FOUND, "ddu", RATING, "tech2")
    work.photograph(found, "ddu", "tech2", "stack beside the mount")
    sign_record(actor=work.actors["tech2"], record=found, version=found.version)
    return work.propose("ddu", RATING)


def _well9(work: Opened) -> None:
    """At 1780 rpm the older edition leaves a margin, the newer one none."""
    _found_and_proposed(work)
    work.sign_until(StepKind.ESTIMATE, by="tech2")


def _well2(work: Opened) -> None:
    """At 1185 rpm both editions leave a margin; the motor is back in its well."""
    proposal = _found_and_proposed(work)
    work.sign_until(StepKind.SPECIFY, by="tech2")
    specify_as_proposed(actor=work.actors["lead"], proposal=proposal)
    work.sign_until(StepKind.LAY_OUT, by="lead")
    lay_out_dry(work)
    build(work, "ddu", RATING)
    test_and_ship(work)
    close_job(actor=work.actors["office"], job=Job.objects.get(pk=work.job.pk))
