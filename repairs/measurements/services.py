"""Take readings down and judge them against a limit that names its source."""

from __future__ import annotations

from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.measurements.models import Reading
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step


def verdict_of(value: Decimal, low: Decimal | None, high: Decimal | None, source: str) -> str:
    """Return pass or fail; without a limit, or with one that names no source, "not checked"."""
    if (low is None and high is None) or not source.strip():
        return Reading.Verdict.NOT_CHECKED
    inside = (low is None or value >= low) and (high is None or value <= high)
    return Reading.Verdict.PASS if inside else Reading.Verdict.FAIL


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
    replaces: Reading | None = None,
) -> Reading:
    """Write a reading; a correction names the reading that it replaces, which stays readable."""
    if limit_low is not None and limit_high is not None and limit_low > limit_high:
        raise WorkOrderError(
            _("The lower limit {low} lies above the upper one {high}.").format(
                low=limit_low, high=limit_high
            ),
            "limit_low",
        )
    if replaces is not None and Reading.objects.filter(replaces=replaces).exists():
        raise WorkOrderError(_("This reading was already corrected. Correct the newer one."))
    reading = Reading(
        job=job,
        step=step,
        moment=moment,
        quantity=quantity.strip(),
        value=value,
        unit=unit.strip(),
        limit_low=limit_low,
        limit_high=limit_high,
        limit_source=limit_source.strip(),
        verdict=verdict_of(value, limit_low, limit_high, limit_source),
        instrument=instrument.strip(),
        note=note.strip(),
        person_id=actor.person_id,
        person_name=actor.name,
        replaces=replaces,
    )
    reading.full_clean(exclude=["replaces"])
    reading.save()
    record_event(
        actor=actor,
        verb="reading.corrected" if replaces else "reading.recorded",
        subject=reading,
        job_number=job.number,
        before={"value": str(replaces.value)} if replaces else None,
        after={
            "quantity": reading.quantity,
            "value": str(value),
            "unit": reading.unit,
            "limits": [str(x) if x is not None else None for x in (limit_low, limit_high)],
            "source": reading.limit_source,
            "verdict": reading.verdict,
        },
    )
    return reading
