"""Tablets and PINs for tests. All PINs are invented."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import count
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.people.device_services import add_device, enrol_device
from repairs.people.models import Device, Pin, User
from repairs.people.pin_services import set_own_pin
from tests.repairs.factories import actor_for, make_user

PIN = "402917"
OTHER_PIN = "715038"
WRONG = "618204"
_names = count(1)


class Clock:
    """The time as the shop sees it, which a test moves."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now: datetime = timezone.now()
        monkeypatch.setattr(timezone, "now", lambda: self.now)

    def pass_by(self, **time: float) -> None:
        self.now += timedelta(**time)


def make_tablet(name: str = "") -> tuple[Device, str]:
    """Return an enrolled tablet and the token in its browser."""
    administrator = User.objects.filter(role="administrator").first() or make_user("administrator")
    _device, code = add_device(actor=actor_for(administrator), name=name or f"Tablet {next(_names)}")
    return enrol_device(code=code, place="192.0.2.1")


def make_person_with_pin(role: str = "technician", pin: str = PIN, **fields: Any) -> User:
    person = make_user(role, **fields)
    set_own_pin(actor=actor_for(person), person=person, pin=pin)
    return person


def at_tablet(token: str, **options: Any) -> Client:
    """Return a browser that holds a tablet's token."""
    client = Client(**options)
    client.cookies[settings.DEVICE_COOKIE] = token
    return client


def enter_pin(client: Client, person: User, pin: str = PIN, **fields: str) -> Any:
    return client.post(reverse("bench:pin", args=[person.pk]), {"pin": pin, **fields})


def at_the_bench(role: str = "technician", **fields: Any) -> tuple[Client, User, Device]:
    """Return a browser on a tablet where a person signed in by PIN."""
    device, token = make_tablet()
    person = make_person_with_pin(role, **fields)
    client = at_tablet(token)
    assert enter_pin(client, person).status_code == 302
    return client, person, device


def pin_of(person: User) -> Pin:
    return Pin.objects.get(person=person)
