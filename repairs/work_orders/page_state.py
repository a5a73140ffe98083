"""One signature, one step: what a page showed when it was made, and whether the job has moved on since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.models import Event
from repairs.ledger.services import Actor
from repairs.work_orders.entry_origin import made_at
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, SignOff, Step

# Two taps within this time are one tap.
ONE_TAP: Final = timedelta(seconds=2)
# What nobody's signature stands on.
BESIDE: Final = (
    "cautions.read", "document.issued", "hand_over.accepted", "job.invoiced", "link.made", "link.revoked",
    "recheck.seen", "work.started", "work.stopped",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SeenPage:
    """What a form carries of its page: the step that it signs, and the newest event of the job that it showed."""

    step_id: int
    event_id: int


class PageMovedOnError(StaleVersionError):
    """The page that was signed shows another step, or other facts, than the job has now."""


def newest_event(job: Job, read: Iterable[tuple[int, str]] = ()) -> int:
    """Return the newest event of a job that a signature may stand on; 0 where there is none.

    ``read`` are key and verb of the newest events, where the page has read them.
    """
    if found := next((pk for pk, verb in read if verb not in BESIDE), None):
        return found
    events = Event.objects.of_job(job.number).exclude(verb__in=BESIDE)
    return events.values_list("pk", flat=True).first() or 0


def refuse_moved_on(seen: SeenPage, *, job: Job, step: Step, actor: Actor) -> None:
    """Refuse a signature on a page that has moved on, and the second of two taps; call it with the job locked.

    What the signer entered since is no change: it was made knowing of the page, as without network. What anybody
    else did is one.
    """
    _refuse_second_tap(job, actor)
    current = job.steps.filter(state=Step.State.WAITING).order_by("position").first()
    if seen.step_id != step.pk or current is None or current.pk != step.pk:
        raise PageMovedOnError(
            _("Not signed: this job is now at “{step}”. Read this page, then sign.").format(
                step=current.title if current else _("the end of the route")
            )
        )
    since = Event.objects.of_job(job.number).filter(pk__gt=seen.event_id).exclude(verb__in=BESIDE)
    other = since.exclude(actor_id=actor.user_id).first()
    if other is not None:
        raise PageMovedOnError(
            _(
                "Not signed: {person} changed this job after your page was made. Read this page, then sign."
            ).format(person=other.actor_name)
        )


def _refuse_second_tap(job: Job, actor: Actor) -> None:
    last = SignOff.objects.filter(step__job=job, person_id=actor.user_id).order_by("-pk").first()
    if last is None:
        return
    pressed = made_at(actor) or timezone.now()
    if abs(pressed - (last.made_at or last.at)) < ONE_TAP:
        raise WorkOrderError(
            _("“{step}” is signed. Wait two seconds and read the next step before you sign it.").format(
                step=SignOff.objects.select_related("step").get(pk=last.pk).step.title
            )
        )
