"""Take readings down and judge them against a limit that names its source."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import exact
from repairs.ledger.services import Actor, record_event
from repairs.measurements.limits import LARGEST, LEAST_ASKED, refused_number, verdict_of
from repairs.measurements.models import Reading
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step
from repairs.work_orders.open_job import lock_open_job


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a value is held against. Without a source a limit is only a number."""

    low: Decimal | None = None
    high: Decimal | None = None
    source: str = ""
    typed_by: int | None = None


@transaction.atomic
def record_reading(
    *,
    actor: Actor,
    job: Job,
    quantity: str,
    value: Decimal,
    unit: str,
    step: Step | None = None,
    moment: str = Reading.Moment.AS_FOUND,
    limit_low: Decimal | None = None,
    limit_high: Decimal | None = None,
    limit_source: str = "",
    instrument: str = "",
    note: str = "",
) -> Reading:
    """Write a reading with its verdict."""
    job = lock_open_job(job)
    limits = Limits(low=limit_low, high=limit_high, source=limit_source.strip())
    _refuse(value, limits)
    reading = Reading(
        job=job,
        step=step,
        moment=moment,
        quantity=quantity.strip(),
        unit=unit.strip(),
        instrument=instrument.strip(),
        note=note.strip(),
    )
    return _keep(reading, value, limits, actor)


@transaction.atomic
def correct_reading(
    *,
    actor: Actor,
    reading: Reading,
    value: Decimal,
    reason: str,
    instrument: str = "",
) -> Reading:
    """Write the reading that takes another one's place, against the same limit.

    The first stays readable; the reason is kept as the note. Who typed its limit does not correct the value.
    """
    if not reason.strip():
        raise WorkOrderError(_("Enter why the reading is corrected."), "note")
    lock_open_job(reading.job_id)
    if Reading.objects.filter(replaces=reading).exists():
        raise WorkOrderError(_("This reading was already corrected. Correct the newer one."))
    if reading.test_id is not None:
        raise WorkOrderError(_("This reading comes from a test. Correct the test."))
    if reading.asked and reading.limit_by_id == actor.user_id:
        raise WorkOrderError(_("You entered the limit of this reading. Another person corrects it."))
    limits = Limits(
        low=reading.limit_low,
        high=reading.limit_high,
        source=reading.limit_source,
        typed_by=reading.limit_by_id,
    )
    _refuse(value, limits, at_least=LEAST_ASKED if reading.asked else -LARGEST)
    newer = Reading(
        job=reading.job,
        step=reading.step,
        moment=reading.moment,
        quantity=reading.quantity,
        asked=reading.asked,
        unit=reading.unit,
        instrument=instrument.strip() or reading.instrument,
        note=reason.strip(),
        replaces=reading,
    )
    return _keep(newer, value, limits, actor)


def _refuse(value: Decimal, limits: Limits, *, at_least: Decimal = -LARGEST) -> None:
    for field, number in (("value", value), ("limit_low", limits.low), ("limit_high", limits.high)):
        if number is not None and (message := refused_number(number, at_least=at_least)):
            raise WorkOrderError(message, field)
    if limits.low is not None and limits.high is not None and limits.low > limits.high:
        raise WorkOrderError(
            _("The lower limit {low} is above the upper limit {high}.").format(
                low=limits.low, high=limits.high
            ),
            "limit_low",
        )


def _keep(reading: Reading, value: Decimal, limits: Limits, actor: Actor) -> Reading:
    reading.value = value
    reading.limit_low, reading.limit_high, reading.limit_source = limits.low, limits.high, limits.source
    reading.limit_by_id = limits.typed_by
    reading.verdict = verdict_of(value, limits.low, limits.high, limits.source)
    reading.person_id = actor.person_id
    reading.person_name = actor.name
    # A correction is filed beside what it corrects, whenever it comes; it is no late entry.
    step = None if reading.replaces_id else reading.step
    late = note_origin(reading, actor=actor, step=step)
    reading.full_clean(exclude=["replaces"])
    reading.save()
    if late and step is not None:
        _tell_signers(reading, step, actor)
    before = reading.replaces
    record_event(
        actor=actor,
        verb="reading.corrected" if before else "reading.recorded",
        subject=reading,
        job_number=reading.job.number,
        before={"reading": before.pk, "value": str(before.value), "verdict": before.verdict}
        if before
        else None,
        after={
            "quantity": reading.quantity,
            "value": str(value),
            "unit": reading.unit,
            "limits": [str(x) if x is not None else None for x in (limits.low, limits.high)],
            "source": reading.limit_source,
            "verdict": reading.verdict,
            "at_step": reading.step.title if reading.step else "",
            "arrived_later": reading.arrived_later,
        },
        reason=reading.note if before else "",
    )
    return reading


def _tell_signers(reading: Reading, step: Step, actor: Actor) -> None:
    words = _("Reading {quantity}: {value} {unit}, {verdict}").format(
        quantity=reading.quantity,
        value=exact(reading.value),
        unit=reading.unit,
        verdict=reading.get_verdict_display(),
    )
    tell_signers(actor=actor, step=step, words=words)
