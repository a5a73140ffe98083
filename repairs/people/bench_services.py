"""Sign in at a shared tablet by PIN, counted before it is compared; by password where the PIN is shut."""

from __future__ import annotations

from datetime import datetime
from math import ceil
from typing import Final

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from repairs.ledger.services import SYSTEM, Actor, record_event
from repairs.people.models import Device, Pin, PinTry, User
from repairs.people.permissions import BENCH_ROLES
from repairs.people.pin_hashing import check_pin, hash_pin
from repairs.people.pin_rules import (
    MOST_IN_THE_SHOP,
    MOST_ON_A_DEVICE,
    MOST_TRIES,
    TRIES_KEPT,
    WINDOW,
    lock_for,
)
from repairs.people.pin_services import PinError, forget_failures

BY_PIN: Final = "pin"
BY_PASSWORD: Final = "password"


class PinRefusedError(PinError):
    """This try does not open the bench. ``seconds`` is how long the next one has to wait."""

    def __init__(self, message: str, seconds: int = 0) -> None:
        super().__init__(message, "pin")
        self.seconds = seconds


def sign_in_by_pin(*, device: Device, person: User, pin: str, again: bool = False) -> Pin:
    """Compare a person's PIN and write down that they signed in; ``again`` after they were idle.

    The try is counted first, in a transaction of its own: however many arrive at once, no more are compared than
    are allowed, and no row stays locked while the hash is computed.
    """
    _settle_clock(person, timezone.now())
    kept, counted = _count_try(device, person, timezone.now())
    right, stale = check_pin(person.pk, pin, kept.hash)
    if not right:
        raise _wrong(device, kept)
    if kept.is_over(timezone.now()):
        raise PinRefusedError(_("This PIN worked once, within 24 hours. Ask an administrator for a new one."))
    return _let_in(device, kept, counted, hash_pin(person.pk, pin) if stale else kept.hash, again)


@transaction.atomic
def _settle_clock(person: User, now: datetime) -> None:
    """Bring what a clock that was set back left in the future to now, before a refusal can undo it."""
    kept = Pin.objects.select_for_update().filter(person=person).first()
    if kept is not None and kept.settle_clock(now):
        kept.save()
    PinTry.objects.filter(at__gt=now).update(at=now)


@transaction.atomic
def _count_try(device: Device, person: User, now: datetime) -> tuple[Pin, PinTry]:
    # Tries on one tablet follow one another, and so do those for one person on several.
    in_use = Device.objects.in_use().select_for_update().filter(pk=device.pk).first()
    kept = Pin.objects.select_for_update().filter(person=person).first()
    if in_use is None or kept is None or not person.is_active or person.role not in BENCH_ROLES:
        raise PinRefusedError(_("This tablet or this name was just disabled."))
    if kept.is_locked(now):
        raise PinRefusedError(locked_words(kept))
    _refuse_crowds(device, now)
    if at := kept.wait_until(now):
        raise _too_early(ceil((at - now).total_seconds()))
    if kept.failures >= MOST_TRIES:
        kept.failures = 0
    kept.failures, kept.last_try_at = kept.failures + 1, now
    if kept.failures >= MOST_TRIES:
        kept.locked_until, kept.lockouts = now + lock_for(kept.lockouts), kept.lockouts + 1
    kept.save()
    PinTry.objects.filter(at__lt=now - TRIES_KEPT).delete()
    return kept, PinTry.objects.create(at=now, device=device, person=person)


def _refuse_crowds(device: Device, now: datetime) -> None:
    """Refuse PINs on a tablet, or everywhere, when too many wrong ones came lately for whomever."""
    lately = PinTry.objects.filter(at__gt=now - WINDOW)
    if lately.filter(device=device).count() >= MOST_ON_A_DEVICE:
        raise PinRefusedError(
            _("Too many wrong PINs on this tablet. Wait 15 minutes, or sign in with your password.")
        )
    if lately.count() >= MOST_IN_THE_SHOP:
        raise PinRefusedError(
            _("Too many wrong PINs in the shop. Wait 15 minutes, or sign in with your password.")
        )


def _too_early(seconds: int) -> PinRefusedError:
    words = ngettext(
        "Too early; this try did not count. Wait {seconds} second, then try again.",
        "Too early; this try did not count. Wait {seconds} seconds, then try again.",
        seconds,
    )
    return PinRefusedError(words.format(seconds=seconds), seconds)


@transaction.atomic
def _wrong(device: Device, kept: Pin) -> PinRefusedError:
    """Say how many tries are left; the one that was the last is an event."""
    left = MOST_TRIES - kept.failures
    if left <= 0:
        actor = Actor(user_id=SYSTEM.user_id, name=SYSTEM.name, device=device.name)
        record_event(actor=actor, verb="pin.locked", subject=kept.person, after={"times": kept.lockouts})
        return PinRefusedError(locked_words(kept))
    now = timezone.now()
    at = kept.wait_until(now)
    words = ngettext(
        "Wrong PIN. {left} try left before this name is locked.",
        "Wrong PIN. {left} tries left before this name is locked.",
        left,
    ).format(left=left)
    if at is None:
        return PinRefusedError(words)
    seconds = ceil((at - now).total_seconds())
    wait = ngettext("Wait {seconds} second first.", "Wait {seconds} seconds first.", seconds)
    return PinRefusedError(f"{words} {wait.format(seconds=seconds)}", seconds)


@transaction.atomic
def _let_in(device: Device, kept: Pin, counted: PinTry, hashed: str, again: bool) -> Pin:
    stored = Pin.objects.select_for_update().get(pk=kept.pk)
    if stored.version != kept.version:
        raise PinRefusedError(_("This PIN has just changed. Use the new one."))
    stored.hash = hashed
    forget_failures(stored)
    stored.save()
    counted.delete()
    _record_sign_in(device, stored.person, BY_PIN, again)
    return stored


@transaction.atomic
def sign_in_by_password(*, device: Device, person: User, again: bool = False) -> None:
    """Write down that a person signed in at a tablet with the password, which also opens a PIN that was shut."""
    kept = Pin.objects.select_for_update().filter(person=person).first()
    if kept is not None and (kept.failures or kept.lockouts):
        forget_failures(kept)
        kept.save()
        record_event(
            actor=tablet_actor(device, person), verb="pin.unlocked", subject=person, after={"by": BY_PASSWORD}
        )
    _record_sign_in(device, person, BY_PASSWORD, again)


def _record_sign_in(device: Device, person: User, by: str, again: bool) -> None:
    after = {"by": by, "device": device.name} | ({"again": True} if again else {})
    record_event(actor=tablet_actor(device, person), verb="bench.signed_in", subject=person, after=after)


def record_sign_out(*, actor: Actor, person: User) -> None:
    """Write down that a person left a shared tablet."""
    record_event(actor=actor, verb="bench.signed_out", subject=person, after={"device": actor.device})


def tablet_actor(device: Device, person: User) -> Actor:
    """Return a person on a tablet, before the session says so."""
    return Actor(user_id=person.pk, name=str(person), role=person.role, device=device.name)


def locked_words(kept: Pin) -> str:
    """Say until when a PIN is shut, and the ways back."""
    at = kept.open_again_at(timezone.now())
    until = date_format(timezone.localtime(at), "TIME_FORMAT") if at else ""
    return _(
        "This name is locked until {until}. Sign in with your password, or ask a lead or "
        "administrator to unlock it."
    ).format(until=until)
