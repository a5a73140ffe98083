"""Enter the limits that stand before a reading, judge a value that none stood for, take a concession down."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.measurements.asked_readings import BY_CODE
from repairs.measurements.evidence import failing
from repairs.measurements.limits import LEAST_ASKED, limit_words, refused_number
from repairs.measurements.models import Reading, ReadingJudgment, RunConcession, StandingLimit
from repairs.measurements.standing_limits import Standing, quantity_of, standing_limit, without_specification
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step, StepKind
from repairs.work_orders.open_job import lock_open_job


@transaction.atomic
def enter_limit(
    *,
    actor: Actor,
    job: Job | None,
    asked: str,
    unit: str,
    source: str,
    low: Decimal | None = None,
    high: Decimal | None = None,
    level: str = StandingLimit.Level.CUSTOMER,
) -> StandingLimit:
    """Enter a limit of the shop's policy, or of a job's specification; it holds for readings taken from now on."""
    if not role_may(actor.role, Permission.EDIT_LIMITS):
        raise WorkOrderError(_("Only a lead or the engineer enters limits."))
    if job is not None:
        job = lock_open_job(job)
    if asked not in BY_CODE:
        raise WorkOrderError(_("Choose a reading from the list."), "asked")
    if unit not in BY_CODE[asked].units:
        units = ", ".join(BY_CODE[asked].units)
        raise WorkOrderError(_("This reading is taken in {units}.").format(units=units), "unit")
    if not source.strip():
        raise WorkOrderError(_("Enter the limit source: PO, drawing, or standard with year."), "source")
    if low is None and high is None:
        raise WorkOrderError(_("Enter a lower or an upper limit."), "high")
    if low is not None and high is not None and low > high:
        raise WorkOrderError(_("The lower limit is above the upper one. Swap them."), "low")
    for field, number in (("low", low), ("high", high)):
        if number is not None and (message := refused_number(number, at_least=LEAST_ASKED)):
            raise WorkOrderError(message, field)
    if job is not None:
        limit = Standing(low=low, high=high, unit=unit, source=source, quantity=quantity_of(asked))
        _refuse_looser(job, asked, limit)
    _replace(job, asked, level)
    made = StandingLimit.objects.create(
        job=job,
        level=level,
        asked=asked,
        unit=unit,
        low=low,
        high=high,
        source=source.strip()[:140],
        entered_by_id=actor.person_id,
        entered_name=actor.name,
    )
    record_event(
        actor=actor,
        verb="limit.entered",
        subject=made,
        job_number=job.number if job else "",
        after={
            "quantity": str(BY_CODE[asked].label),
            "limits": [str(x) if x is not None else None for x in (low, high)],
            "unit": unit,
            "source": made.source,
        },
    )
    return made


def _refuse_looser(job: Job, asked: str, limit: Standing) -> None:
    """Refuse a limit that passes what the motor is held to already: that takes two people, who override the step."""
    held = without_specification(job, asked)
    if held is None or not limit.is_looser_than(held):
        return
    words = _(
        "Looser than {limits} ({source}). Enter a tighter limit. To ship outside it, a lead asks for an override of "
        "the step and a second person confirms it."
    )
    told = limit_words(held.low, held.high, held.unit)
    field = "high" if limit.lets_above(held) else "low"
    raise WorkOrderError(words.format(limits=told, source=held.source), field)


def _replace(job: Job | None, asked: str, level: str) -> None:
    rows = StandingLimit.objects.current().filter(asked=asked, job=job, level=level)
    rows.update(replaced_at=timezone.now())


@transaction.atomic
def withdraw_limit(*, actor: Actor, limit: StandingLimit) -> StandingLimit:
    """Take a limit out of force; readings that were judged by it keep it."""
    if not role_may(actor.role, Permission.EDIT_LIMITS):
        raise WorkOrderError(_("Only a lead or the engineer enters limits."))
    if limit.job_id is not None:
        lock_open_job(limit.job_id)
    now = StandingLimit.objects.select_for_update().get(pk=limit.pk)
    if now.job is not None and _judged(now.job, now):
        words = _(
            "A reading on this job was judged by this limit, so it stays. Enter a tighter limit if needed."
        )
        raise WorkOrderError(words)
    if now.replaced_at is None:
        now.replaced_at = timezone.now()
        now.save(update_fields=["replaced_at"])
        record_event(
            actor=actor,
            verb="limit.withdrawn",
            subject=now,
            job_number=now.job.number if now.job else "",
            before={"quantity": str(BY_CODE[now.asked].label), "source": now.source},
        )
    return now


def _judged(job: Job, limit: StandingLimit) -> bool:
    rows = Reading.objects.filter(job=job, asked=limit.asked)
    return rows.exclude(verdict=Reading.Verdict.NOT_CHECKED).filter(at__gte=limit.entered_at).exists()


@transaction.atomic
def judge_reading(*, actor: Actor, reading: Reading, reason: str) -> ReadingJudgment:
    """Judge, as a lead who did not measure, a value that no limit stood for. The reason prints."""
    job = lock_open_job(reading.job_id)
    if not role_may(actor.role, Permission.OVERRIDE_GATES):
        raise WorkOrderError(_("Only a lead can judge a value without a limit."))
    if actor.user_id in _measurers(reading):
        raise WorkOrderError(_("You took this reading. A lead who did not measure must judge it."))
    if reading.verdict != Reading.Verdict.NOT_CHECKED or hasattr(reading, "replaced_by"):
        raise WorkOrderError(_("Only a reading without a limit can be judged."))
    limit = standing_limit(job, reading.asked, measurer=reading.person_id, at=timezone.now())
    if limit is not None:
        raise WorkOrderError(_("A limit is set now ({source}). Measure again.").format(source=limit.source))
    if not reason.strip():
        raise WorkOrderError(_("Enter why this value is acceptable. It prints."), "reason")
    judgment, new = ReadingJudgment.objects.get_or_create(
        reading=reading,
        defaults={"reason": reason.strip()[:300], "person_id": actor.person_id, "person_name": actor.name},
    )
    if new:
        record_event(
            actor=actor,
            verb="reading.judged",
            subject=reading,
            job_number=job.number,
            after={"quantity": reading.quantity, "value": str(reading.value), "unit": reading.unit},
            reason=judgment.reason,
        )
    return judgment


def _measurers(reading: Reading) -> set[int]:
    """Return who took a reading, and who took those that it corrects."""
    found, one = set(), reading
    while one is not None:
        found.add(one.person_id)
        one = one.replaces  # type: ignore[assignment]
    return found


@transaction.atomic
def concede_run(
    *, actor: Actor, step: Step, reason: str, agreed_by: str, agreed_on: date | None, agreed_how: str
) -> RunConcession:
    """Take down that the customer takes the motor without a run the shop cannot make; a failed run never passes so."""
    job = lock_open_job(step.job_id)
    if not role_may(actor.role, Permission.OVERRIDE_GATES):
        raise WorkOrderError(_("Only a lead can enter the customer's concession."))
    if step.kind != StepKind.FINAL_TEST or step.state != Step.State.WAITING:
        raise WorkOrderError(_("Only an open final test can be conceded."))
    if failing(step):
        raise WorkOrderError(_("This run failed. A failed run cannot be conceded. Fix it and run again."))
    words = {"reason": reason.strip(), "agreed_by": agreed_by.strip(), "agreed_how": agreed_how.strip()}
    if missing := next((name for name, value in words.items() if not value), None):
        raise WorkOrderError(_("Enter why there is no test run, and who agreed, when and how."), missing)
    if agreed_on is None or agreed_on > timezone.localdate():
        raise WorkOrderError(_("Enter the day the customer agreed, today or earlier."), "agreed_on")
    if RunConcession.objects.filter(step=step).exists():
        raise WorkOrderError(_("This step already has a concession."))
    concession = RunConcession.objects.create(
        step=step,
        agreed_on=agreed_on,
        reason=words["reason"][:300],
        agreed_by=words["agreed_by"][:120],
        agreed_how=words["agreed_how"][:120],
        person_id=actor.person_id,
        person_name=actor.name,
    )
    record_event(
        actor=actor,
        verb="run.conceded",
        subject=concession,
        job_number=job.number,
        after={"step": step.title, "agreed": [concession.agreed_by, str(agreed_on), concession.agreed_how]},
        reason=concession.reason,
    )
    return concession
