"""Add a shared tablet, let it be enrolled by a code, take it out of use."""

from __future__ import annotations

import secrets
from datetime import timedelta
from typing import Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.models import Device
from repairs.people.models.device import CODE_HOLDS
from repairs.people.pin_hashing import hash_code, hash_token
from repairs.people.services import PersonError
from repairs.people.sign_in_accounts import digest
from repairs.people.try_limits import Counted, Held, Limit, give_back, take_try

# Without 0, O, 1, I and L, which are taken for one another. Twelve of 31 signs are 59 bits: a thousand tries a second
# for the whole quarter of an hour find the code once in 800 billion times.
CODE_SIGNS: Final = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
CODE_LENGTH: Final = 12
# common practice, no source: the count and the times
CODES: Final = Limit(kind="code", most=20, window=timedelta(minutes=15), lane=timedelta(seconds=3))
SEEN_EVERY: Final = timedelta(minutes=1)


class DeviceError(PersonError):
    """A rule forbids this to a device."""


@transaction.atomic
def add_device(*, actor: Actor, name: str) -> tuple[Device, str]:
    """Add a tablet by its name; return it and the code that enrols it, which is shown once and kept nowhere."""
    name = " ".join(name.split())
    if Device.objects.not_withdrawn().filter(name__iexact=name).exists():
        raise DeviceError(_("“{name}” is in use. Give this tablet another name.").format(name=name), "name")
    device = Device(name=name, added_by_id=actor.person_id)
    code = _renew_code(device)
    record_event(actor=actor, verb="device.added", subject=device, after={"name": name})
    return device, code


@transaction.atomic
def give_new_code(*, actor: Actor, device: Device) -> tuple[Device, str]:
    """Give a tablet a new code: the first ran out, or the browser lost its cookie. What it holds goes on until then."""
    device = Device.objects.select_for_update().get(pk=device.pk)
    if device.withdrawn_at is not None:
        raise DeviceError(_("{name} is disabled. Add the tablet again.").format(name=device.name))
    code = _renew_code(device)
    record_event(actor=actor, verb="device.code_given", subject=device, after={"name": device.name})
    return device, code


def _renew_code(device: Device) -> str:
    code = "".join(secrets.choice(CODE_SIGNS) for _sign in range(CODE_LENGTH))
    device.code_hash, device.code_until = hash_code(code), timezone.now() + CODE_HOLDS
    device.save()
    return code


def enrol_device(*, code: str, place: str) -> tuple[Device, str]:
    """Enrol the tablet that the code was given for; return it and the token that its browser keeps.

    A code works once: of two tablets that send it together one is enrolled and the other one refused. Tries are counted
    by ``place``, the address that they come from, and slowed down there alone: nobody can block enrolling elsewhere.
    """
    now = timezone.now()
    typed = "".join(sign for sign in code.upper() if sign.isalnum())
    taken = take_try([Counted(limit=CODES, key=digest(place))], now)
    if isinstance(taken, Held):
        words = _("Too many wrong codes from this network. Wait {seconds} s, then enter the code again.")
        raise DeviceError(words.format(seconds=taken.seconds), "code")
    with transaction.atomic():
        # A code that seems to hold longer than any does was given before the clock was set back.
        waiting = Device.objects.select_for_update().filter(withdrawn_at__isnull=True, code_until__gt=now)
        waiting = waiting.filter(code_until__lte=now + CODE_HOLDS)
        device = waiting.filter(code_hash=hash_code(typed)).select_related(None).first()
        if device is None:
            raise DeviceError(
                _("This code is not valid. It was mistyped, already used, or is over 15 minutes old."),
                "code",
            )
        token = secrets.token_urlsafe(32)
        device.code_hash, device.code_until, device.token_hash = "", None, hash_token(token)
        device.enrolled_at, device.enrolled_by_id, device.last_seen = now, device.added_by_id, now
        device.save()
        record_event(
            actor=_on_behalf(device), verb="device.enrolled", subject=device, after={"name": device.name}
        )
    give_back(taken)
    return device, token


def _on_behalf(device: Device) -> Actor:
    """Nobody is signed in on a tablet that is being enrolled; whoever gave the code stands for it."""
    by = device.added_by
    return Actor(user_id=by.pk, name=str(by), role=by.role, device=device.name)


@transaction.atomic
def withdraw_device(*, actor: Actor, device: Device) -> Device:
    """Take a tablet out of use: whoever is signed in on it is refused at their next request."""
    device = Device.objects.select_for_update().get(pk=device.pk)
    if device.withdrawn_at is None:
        device.withdrawn_at, device.withdrawn_by_id = timezone.now(), actor.person_id
        device.code_hash, device.code_until, device.token_hash = "", None, ""
        device.save()
        record_event(actor=actor, verb="device.withdrawn", subject=device, after={"name": device.name})
    return device


def note_seen(*, device: Device) -> None:
    """Keep when a tablet was last heard of, to the minute."""
    now = timezone.now()
    # Less than nothing has passed where the clock was set back.
    if device.last_seen is None or not timedelta(0) <= now - device.last_seen < SEEN_EVERY:
        Device.objects.filter(pk=device.pk).update(last_seen=now)
