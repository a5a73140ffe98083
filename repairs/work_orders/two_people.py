"""What it takes to let something pass that keeps the wrong stack in the shop: two people who did not build it."""

from __future__ import annotations

from typing import Final

from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.models import Event
from repairs.ledger.services import Actor
from repairs.people.permissions import Permission, Role, role_may
from repairs.work_orders.builders import builders
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job

SHORTEST_REASON: Final = 15
GIVEN_WITH: Final = ("override.asked", "finding.accepted")


def refuse_first(actor: Actor, job: Job) -> None:
    """Refuse whoever is no lead, built the stack, or is not online in a session of their own."""
    if actor.role != Role.LEAD:
        raise WorkOrderError(_("Only a lead can ask for this."))
    _refuse_hand(actor, job)


def refuse_second(actor: Actor, job: Job, *, first_id: int, first_session: str, first_by_pin: bool) -> None:
    """Refuse a second word that is not somebody else's, in another session, by a PIN that the first did not set."""
    if not role_may(actor.role, Permission.CONFIRM_OVERRIDES):
        raise WorkOrderError(_("A second lead, the engineer or the administrator must confirm this."))
    if actor.user_id == first_id:
        raise WorkOrderError(_("You asked for this. Another person must confirm it."))
    _refuse_hand(actor, job)
    if actor.session == first_session:
        raise WorkOrderError(_("Both of you used the same session. Sign in yourself, then confirm."))
    if actor.by_pin and _set_pin_today(first_id, actor.person_id):
        raise WorkOrderError(_("The person who asked set your PIN today. Sign in with your password."))
    if first_by_pin and _set_pin_today(actor.person_id, first_id):
        raise WorkOrderError(_("You set the asking person's PIN today. Someone else must confirm it."))


def _refuse_hand(actor: Actor, job: Job) -> None:
    if actor.made_at or not actor.session:
        raise WorkOrderError(_("This needs the network. Sign in and do it online."))
    if actor.user_id in builders(job):
        raise WorkOrderError(
            _("You built or recorded this stack. Two people who did not build it must decide.")
        )


def pin_set_by_a_builder(actor: Actor, job: Job) -> bool:
    """Whether this person acts by a PIN that somebody who built the stack gave them today."""
    return actor.by_pin and any(_set_pin_today(hand, actor.person_id) for hand in builders(job))


def _set_pin_today(setter: int, owner: int) -> bool:
    """Whether one person gave another a PIN today; the shop's own day."""
    midnight = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    given = Event.objects.filter(verb="pin.set", subject_type="user", subject_id=str(owner), at__gte=midnight)
    return given.filter(actor_id=setter).exclude(actor_id=owner).exists()


def own_reason(job: Job, text: str) -> str:
    """Return a reason in the lead's own words, or refuse one that is short or was used on this job before."""
    words = " ".join(text.split())
    if len(words) < SHORTEST_REASON:
        text = _("Enter the reason in your own words, at least {count} characters.")
        raise WorkOrderError(text.format(count=SHORTEST_REASON), "reason")
    # The ledger keeps what was withdrawn, or fell with a change of the stack.
    asked = Event.objects.filter(job_number=job.number, verb__in=GIVEN_WITH)
    used = set(asked.values_list("reason", flat=True))
    if _plain(words) in {_plain(one) for one in used}:
        raise WorkOrderError(
            _("This reason was already used on this job. Enter what is different this time."), "reason"
        )
    return words[:300]


def _plain(text: str) -> str:
    """Return a text by its letters and figures alone: a full stop more is no other reason."""
    return "".join(character for character in text.casefold() if character.isalnum())
