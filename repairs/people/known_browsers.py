"""Which browsers a person has signed in with before: what strangers try under that name does not hold them up."""

from __future__ import annotations

import secrets
from typing import Final, TypedDict

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, HttpResponseBase

SALT: Final = "browser that signed in"
HOLDS_SECONDS: Final = 180 * 24 * 3600
# An office computer has a handful of people.
MOST_ACCOUNTS: Final = 12
_TAG: Final = 16


def known_browser(request: HttpRequest, account: str) -> str:
    """Return the browser's random name where this account signed in with it before, else nothing."""
    kept = _read(request)
    return kept["browser"] if account[:_TAG] in kept["accounts"] else ""


def remember_browser(request: HttpRequest, response: HttpResponseBase, account: str) -> None:
    """Leave in a browser, out of reach of scripts, that this account signed in with it."""
    kept = _read(request)
    others = [tag for tag in kept["accounts"] if tag != account[:_TAG]]
    kept["accounts"] = [account[:_TAG], *others][:MOST_ACCOUNTS]
    response.set_cookie(
        settings.BROWSER_COOKIE,
        signing.dumps(kept, salt=SALT, compress=True),
        max_age=HOLDS_SECONDS,
        path="/",
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )


class _Kept(TypedDict):
    """What a browser keeps: its random name, and the tags of the accounts that signed in with it."""

    browser: str
    accounts: list[str]


def _read(request: HttpRequest) -> _Kept:
    try:
        kept: _Kept = signing.loads(
            request.COOKIES.get(settings.BROWSER_COOKIE, ""), salt=SALT, max_age=HOLDS_SECONDS
        )
    except signing.BadSignature:
        return {"browser": secrets.token_urlsafe(12), "accounts": []}
    return kept
