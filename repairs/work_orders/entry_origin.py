"""Where and when an entry of the bench was made: it is filed there, whatever happened until it arrived."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from django.utils import timezone
from django.utils.dateparse import parse_datetime

from repairs.ledger.services import Actor
from repairs.work_orders.models import Job, LateEntry, MadeAtBench, SignOff, Step

# A tablet's clock may run this far ahead of the server's before its time is not believed.
CLOCKS_APART: Final = timedelta(minutes=2)


def made_at(actor: Actor) -> datetime | None:
    """Return when an entry was made by the tablet's clock; None where it was stored at once.

    A time to come is not one of making: such a clock is wrong, and the time of arrival stands alone.
    """
    made = parse_datetime(actor.made_at) if actor.made_at else None
    return made if made is not None and made <= timezone.now() + CLOCKS_APART else None


def step_of_entry(job: Job, named: int | None) -> Step | None:
    """Return the step that the entry's page showed; where it named none of this job, the first one to do."""
    step = job.steps.filter(pk=named).first() if named is not None else None
    return step or job.steps.filter(state=Step.State.WAITING).order_by("position").first()


def note_origin(row: MadeAtBench, *, actor: Actor, step: Step | None = None) -> bool:
    """Write the time of making to a row that is not saved yet; return whether it came after its step was signed.

    Call it with the job's row locked, so that nobody signs the step meanwhile.
    """
    row.made_at = made_at(actor)
    row.arrived_later = (
        step is not None and not Step.objects.filter(pk=step.pk, state=Step.State.WAITING).exists()
    )
    return row.arrived_later


def tell_signers(*, actor: Actor, step: Step, words: str) -> None:
    """Tell everybody else who signed a step that an entry of it arrived after their signature."""
    signers = SignOff.objects.filter(step=step).exclude(person_id=actor.user_id)
    common: dict[str, object] = {
        "job_id": step.job_id,
        "step": step,
        "why": LateEntry.Why.SIGNED,
        "words": words[:400],
        "author_id": actor.person_id,
        "author_name": actor.name,
        "device": actor.device,
        "made_at": made_at(actor),
    }
    LateEntry.objects.bulk_create(
        LateEntry(waits_for_id=person, **common)
        for person in set(signers.exclude(signed_as=SignOff.As.OVERRIDE).values_list("person_id", flat=True))
    )
