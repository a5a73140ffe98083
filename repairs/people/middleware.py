"""Who acts in this request, in which language and units."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Final

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.dateparse import parse_datetime

from repairs.ledger.services import Actor

# Whose page an answer is, so that a tablet drops the pages it kept of somebody else; "0" is nobody.
PERSON_HEADER: Final = "X-Person"
# When an entry was made on the device that sends it later, by that device's clock.
MADE_AT_HEADER: Final = "X-Made-At"
# A clock may be wrong; a time at the edge of the calendar cannot be told in the shop's own zone.
EARLIEST: Final = datetime(2000, 1, 1, tzinfo=UTC)
LATEST: Final = datetime(2200, 1, 1, tzinfo=UTC)
# Only in a session that was opened at a shared tablet for the bench: which PIN opened it, whether it must be changed.
BENCH: Final = "bench"


class PersonMiddleware:
    """Give the signed-in person's language to the request, and keep private pages out of caches."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        language = request.user.language if request.user.is_authenticated else None
        if language in dict(settings.LANGUAGES) and language != translation.get_language():
            translation.activate(language)
            request.LANGUAGE_CODE = language
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
        if "Cache-Control" not in response.headers:
            response.headers["Cache-Control"] = "private, no-store"
        if response.headers.get("Content-Type", "").startswith("text/html"):
            response.headers[PERSON_HEADER] = str(request.user.pk or 0)
        return response


def actor_of(request: HttpRequest) -> Actor:
    """Return the acting person and device of a request."""
    user = request.user
    return Actor(
        user_id=user.pk,
        name=str(user),
        role=getattr(user, "role", ""),
        device=request.session.get("device_name", "") if hasattr(request, "session") else "",
        made_at=_made_at(request.headers.get(MADE_AT_HEADER, "")),
        session=_session_mark(request),
        by_pin=_opened_by_pin(request),
    )


def _session_mark(request: HttpRequest) -> str:
    """Return what tells this sign-in from another, of no use to whoever reads it."""
    key = getattr(getattr(request, "session", None), "session_key", None)
    return hashlib.sha256(key.encode()).hexdigest() if key else ""


def _opened_by_pin(request: HttpRequest) -> bool:
    """Whether a PIN opened the session; a session of a shared tablet says so itself."""
    opened = request.session.get(BENCH) if hasattr(request, "session") else None
    return opened is not None and opened.get("pin") is not None


def _made_at(text: str) -> str:
    """Return the time that a device names, or nothing where it is no time with a zone, or of no device's days."""
    try:
        at = parse_datetime(text[:40])
    except ValueError:
        return ""
    if at is None or at.tzinfo is None or not EARLIEST < at < LATEST:
        return ""
    return at.isoformat()
