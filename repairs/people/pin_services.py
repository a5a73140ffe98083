"""Give people PINs for the shared tablets, and open those that were shut by wrong tries."""

from __future__ import annotations

import secrets
from datetime import datetime

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.models import Pin, User
from repairs.people.permissions import BENCH_ROLES, Permission, role_may
from repairs.people.pin_hashing import check_pin, hash_pin
from repairs.people.pin_rules import ONE_TIME_HOLDS, fault_of
from repairs.people.services import PersonError


class PinError(PersonError):
    """A rule forbids this PIN."""


def set_own_pin(*, actor: Actor, person: User, pin: str) -> Pin:
    """Let a person choose their PIN. Whoever calls this has made sure that it is the person."""
    if actor.user_id != person.pk:
        raise PinError(_("Only the person can choose this PIN. Give them a one-time PIN instead."))
    if fault := fault_of(pin, settings.PIN_DIGITS):
        raise PinError(fault, "pin")
    given = Pin.objects.filter(person=person, one_time=True).first()
    if given is not None and check_pin(person.pk, pin, given.hash)[0]:
        raise PinError(_("This is the one-time PIN you were given. Choose a different one."), "pin")
    return _store(actor, person, pin, None)


def give_one_time_pin(*, actor: Actor, person: User) -> str:
    """Give a person a PIN that opens the bench once, to choose their own; it is shown once and kept nowhere."""
    pin = ""
    while not pin or fault_of(pin, settings.PIN_DIGITS):
        pin = "".join(secrets.choice("0123456789") for _figure in range(settings.PIN_DIGITS))
    _store(actor, person, pin, timezone.now() + ONE_TIME_HOLDS)
    return pin


@transaction.atomic
def _store(actor: Actor, person: User, pin: str, valid_until: datetime | None) -> Pin:
    person = User.objects.select_for_update().get(pk=person.pk)
    if not person.is_active or person.role not in BENCH_ROLES:
        raise PinError(
            _("{role}: this role signs in with a password only.").format(role=person.get_role_display())
        )
    kept = Pin.objects.filter(person=person).first() or Pin(person=person, version=0)
    kept.hash, kept.set_at = hash_pin(person.pk, pin), timezone.now()
    kept.one_time, kept.valid_until = valid_until is not None, valid_until
    # The number ends whatever session was opened with the former PIN.
    kept.version += 1
    forget_failures(kept)
    kept.save()
    record_event(actor=actor, verb="pin.set", subject=person, after={"one_time": kept.one_time})
    return kept


@transaction.atomic
def unlock_pin(*, actor: Actor, person: User, note: str = "") -> None:
    """Take wrong tries off a PIN: by whoever may, with a note, or by the person, who signed in with the password."""
    note = note.strip()
    if actor.user_id != person.pk:
        if not role_may(actor.role, Permission.UNLOCK_PINS):
            raise PinError(_("Only a lead or an administrator can unlock someone else's PIN."))
        if not note:
            raise PinError(_("Enter how you confirmed it was that person."), "note")
    kept = Pin.objects.select_for_update().filter(person=person).first()
    if kept is None or not (kept.failures or kept.lockouts):
        return
    forget_failures(kept)
    kept.save()
    record_event(actor=actor, verb="pin.unlocked", subject=person, reason=note[:200])


def forget_failures(kept: Pin) -> None:
    """Set a PIN's counters back; the caller saves."""
    kept.failures = kept.lockouts = 0
    kept.last_try_at = kept.locked_until = None
