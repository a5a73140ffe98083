"""Write events and carry out forms once."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from repairs.ledger.models import Event, SubmittedForm


class LedgerError(Exception):
    """The ledger refuses; the message is fit to show to a person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Actor:
    """Who acts, and from which device. ``user_id`` is None for the system itself.

    ``made_at`` is the device's own clock (ISO 8601) for an entry that was made there and sent later.
    """

    user_id: int | None
    name: str
    device: str = ""
    role: str = ""
    made_at: str = ""

    @property
    def person_id(self) -> int:
        """The person's key, where a person is needed; the system itself signs nothing."""
        if self.user_id is None:
            raise LedgerError(_("Only a person can do this."))
        return self.user_id


SYSTEM = Actor(user_id=None, name="system")


def record_event(
    *,
    actor: Actor,
    verb: str,
    subject: models.Model,
    job_number: str = "",
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
    reason: str = "",
) -> Event:
    """Write one event; call it inside the transaction that makes the change."""
    if actor.made_at:
        after = {**(after or {}), "made_at": actor.made_at}
    return Event.objects.create(
        actor_id=actor.user_id,
        actor_name=actor.name,
        device=actor.device,
        verb=verb,
        subject_type=subject._meta.model_name or "",
        subject_id=str(subject.pk),
        job_number=job_number,
        before=dict(before) if before is not None else None,
        after=dict(after) if after is not None else None,
        reason=reason,
    )


def record_events(
    *,
    actor: Actor,
    verb: str,
    changes: Iterable[tuple[models.Model, Mapping[str, Any], Mapping[str, Any]]],
) -> None:
    """Write the events of many like changes (row, before, after) in one go; call it inside their transaction."""
    Event.objects.bulk_create(
        Event(
            actor_id=actor.user_id,
            actor_name=actor.name,
            device=actor.device,
            verb=verb,
            subject_type=row._meta.model_name or "",
            subject_id=str(row.pk),
            before=dict(before),
            after=dict(after),
        )
        for row, before, after in changes
    )


def hash_body(body: Mapping[str, Any]) -> str:
    """Return a digest of a form's fields, without the tokens that differ between submissions."""
    kept = {k: v for k, v in body.items() if k not in {"csrfmiddlewaretoken", "form_key"}}
    return hashlib.sha256(json.dumps(kept, sort_keys=True, default=str).encode()).hexdigest()


def carry_out_once(
    *, actor: Actor, key: str, body: Mapping[str, Any], work: Callable[[], dict[str, Any]]
) -> tuple[dict[str, Any], bool]:
    """Do ``work`` once for this person and key; return its answer and whether it was given before.

    The answer is stored in the same transaction as the work, so a lost answer is found again.
    A key that comes back with other contents is refused.
    """
    body_hash = hash_body(body)
    if not key or actor.user_id is None:
        raise LedgerError(_("This form carries no key. Reload the page and send it again."))
    try:
        with transaction.atomic():
            stored = SubmittedForm.objects.filter(user_id=actor.user_id, key=key).first()
            if stored is None:
                answer = work()
                SubmittedForm.objects.create(
                    user_id=actor.user_id, key=key, body_hash=body_hash, answer=answer
                )
                return answer, False
    except IntegrityError:
        # Two copies of one form arrived together; the other one won, unless the error was the work's own.
        stored = SubmittedForm.objects.filter(user_id=actor.user_id, key=key).first()
        if stored is None:
            raise
    if stored.body_hash != body_hash:
        raise LedgerError(
            _("This form was already sent with other contents. Reload the page to see what was stored.")
        )
    return dict(stored.answer), True
