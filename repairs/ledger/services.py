"""Write events and carry out forms once."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar, overload

from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from repairs.ledger.models import Event, SubmittedForm

Answer = dict[str, Any]
Prepared = TypeVar("Prepared")
# As many as its column holds; a form of the shop carries 32.
LONGEST_KEY: Final = 64


class LedgerError(Exception):
    """The ledger refuses; the message is fit to show to a person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Actor:
    """Who acts, and from which device. ``user_id`` is None for the system itself.

    ``made_at`` is the device's own clock (ISO 8601) for an entry that was made there and sent later. ``session`` tells
    one sign-in from another and is empty outside a request; ``by_pin`` says that a PIN opened it.
    """

    user_id: int | None
    name: str
    device: str = ""
    role: str = ""
    made_at: str = ""
    session: str = ""
    by_pin: bool = False

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


@overload
def carry_out_once(
    *, actor: Actor, key: str, body: Mapping[str, Any], work: Callable[[], Answer]
) -> tuple[Answer, bool]: ...


@overload
def carry_out_once(
    *,
    actor: Actor,
    key: str,
    body: Mapping[str, Any],
    prepare: Callable[[], Prepared],
    work: Callable[[Prepared], Answer],
    discard: Callable[[Prepared], None] | None = None,
) -> tuple[Answer, bool]: ...


def carry_out_once(
    *,
    actor: Actor,
    key: str,
    body: Mapping[str, Any],
    work: Callable[..., Answer],
    prepare: Callable[[], Any] | None = None,
    discard: Callable[[Any], None] | None = None,
) -> tuple[Answer, bool]:
    """Do ``work`` once for this person and key; return its answer and whether it was given before.

    ``prepare`` does what takes long, such as decoding pictures, rendering a paper or writing files. It runs before
    the transaction, and only for a key that is new; what it returns is handed to ``work``, which reads and writes
    rows and nothing else. ``discard`` takes back what was prepared when ``work`` fails, or when another copy of the
    form was carried out meanwhile.

    The answer is stored in the same transaction as the work, so a lost answer is found again.
    A key that comes back with other contents is refused.
    """
    if not 0 < len(key) <= LONGEST_KEY or actor.user_id is None:
        raise LedgerError(_("This page is out of date. Reload it and save again."))
    form = SubmittedForm(user_id=actor.user_id, key=key, body_hash=hash_body(body))
    if stored := _stored_like(form):
        return dict(stored.answer), True
    if prepare is None:
        return _carried_out(form, work)
    prepared = prepare()
    used = False
    try:
        answer, before = _carried_out(form, lambda: work(prepared))
        used = not before
    finally:
        if not used and discard is not None:
            discard(prepared)
    return answer, before


def _carried_out(form: SubmittedForm, work: Callable[[], Answer]) -> tuple[Answer, bool]:
    """Work and store the answer in one transaction, unless the key was stored meanwhile."""
    try:
        with transaction.atomic():
            stored = _stored_like(form)
            if stored is None:
                form.answer = work()
                form.save(force_insert=True)
                return form.answer, False
    except IntegrityError:
        # Two copies of one form arrived together; the other one won, unless the error was the work's own.
        stored = _stored_like(form)
        if stored is None:
            raise
    return dict(stored.answer), True


def _stored_like(form: SubmittedForm) -> SubmittedForm | None:
    """Return the form that was carried out under this key before; refuse the key with other contents."""
    stored = SubmittedForm.objects.filter(user_id=form.user_id, key=form.key).first()
    if stored is not None and stored.body_hash != form.body_hash:
        raise LedgerError(
            _("This form was already saved with other entries. Reload the page to see what was saved.")
        )
    return stored
