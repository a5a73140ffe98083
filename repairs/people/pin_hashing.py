"""Keep a PIN so that a stolen database does not give it away."""

from __future__ import annotations

import hashlib
import hmac

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password


def hash_pin(person_id: int, pin: str) -> str:
    """Return what is stored of a PIN. Without the pepper, which is in no database, the few PINs cannot be tried."""
    return make_password(_peppered(settings.PIN_PEPPERS[0], person_id, pin))


def check_pin(person_id: int, pin: str, stored: str) -> tuple[bool, bool]:
    """Say whether it is the PIN, and whether it should be hashed anew. Takes the same time either way."""
    right = [check_password(_peppered(pepper, person_id, pin), stored) for pepper in settings.PIN_PEPPERS]
    return any(right), not right[0]


def hash_code(text: str) -> str:
    """Return what is stored of a code that is typed once."""
    return hmac.new(settings.PIN_PEPPERS[0], b"code " + text.encode(), hashlib.sha256).hexdigest()


def hash_token(token: str) -> str:
    """Return what is stored of a device's long random token."""
    return hashlib.sha256(token.encode()).hexdigest()


def _peppered(pepper: bytes, person_id: int, pin: str) -> str:
    # The person goes in as well, so that two people with one PIN have nothing in common here.
    return hmac.new(pepper, f"{person_id} {pin}".encode(), hashlib.sha256).hexdigest()
