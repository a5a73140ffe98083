"""Keep a PIN so that a stolen database does not give it away."""

from __future__ import annotations

import hashlib
import hmac

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password


def hash_pin(person_id: int, pin: str) -> str:
    """Return what is stored of a PIN. Without the pepper, which is in no database, the few PINs cannot be tried."""
    pepper = settings.PIN_PEPPERS[0]
    return f"{_tag(pepper)}:{make_password(_peppered(pepper, person_id, pin))}"


def check_pin(person_id: int, pin: str, stored: str) -> tuple[bool, bool]:
    """Say whether it is the PIN, and whether it should be hashed anew. Takes the same time either way."""
    tag, _colon, hashed = stored.partition(":")
    current = settings.PIN_PEPPERS[0]
    pepper = next((one for one in settings.PIN_PEPPERS if _tag(one) == tag), current)
    return check_password(_peppered(pepper, person_id, pin), hashed), tag != _tag(current)


def hash_code(text: str) -> str:
    """Return what is stored of a code that is typed once."""
    return hmac.new(settings.PIN_PEPPERS[0], b"code " + text.encode(), hashlib.sha256).hexdigest()


def hash_token(token: str) -> str:
    """Return what is stored of a device's long random token."""
    return hashlib.sha256(token.encode()).hexdigest()


def _peppered(pepper: bytes, person_id: int, pin: str) -> str:
    # The person goes in as well, so that two people with one PIN have nothing in common here.
    return hmac.new(pepper, f"{person_id} {pin}".encode(), hashlib.sha256).hexdigest()


def _tag(pepper: bytes) -> str:
    """Return a short name of a pepper, which says nothing of it, so that only one has to be tried."""
    return hashlib.sha256(b"name of " + pepper).hexdigest()[:8]
