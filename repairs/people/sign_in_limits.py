"""How often a password may be tried: by name, by where the try comes from, and by browsers that are known.

A browser that the person signed in with before has a count of its own, so nobody else's tries hold it up. Every other
try counts three times: for this name from this place, for this name from anywhere, and for this place whatever
the name. The last two are shared by many, so they slow down and never shut. Nothing here asks whether the name exists.
"""

from __future__ import annotations

import logging
from datetime import datetime, timedelta
from typing import Final

from django.contrib.auth import authenticate
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from repairs.people.client_address import client_address
from repairs.people.known_browsers import known_browser
from repairs.people.models import User
from repairs.people.sign_in_accounts import account_of, digest, is_fresh
from repairs.people.tablet_session import device_of
from repairs.people.try_limits import Counted, Held, Limit, give_back, take_try

# common practice, no source: the counts and times below
QUARTER: Final = timedelta(minutes=15)
BROWSER: Final = Limit(kind="browser", most=8, window=QUARTER)
PAIR: Final = Limit(kind="pair", most=6, window=QUARTER)
ACCOUNT: Final = Limit(kind="account", most=20, window=QUARTER, lane=timedelta(minutes=2))
PLACE: Final = Limit(kind="place", most=30, window=QUARTER, lane=timedelta(seconds=10))

_log: Final = logging.getLogger(__name__)


class TooManyTriesError(Exception):
    """The password was not even compared. ``seconds`` is how long to wait; the message is fit to be shown."""

    def __init__(self, seconds: int) -> None:
        minutes = -(-seconds // 60)
        wait = (
            ngettext("Wait {n} second", "Wait {n} seconds", seconds).format(n=seconds)
            if seconds < 60
            else ngettext("Wait {n} minute", "Wait {n} minutes", minutes).format(n=minutes)
        )
        words = _("Too many tries. {wait}, then try again. Or ask an administrator for a new password.")
        super().__init__(words.format(wait=wait))
        self.seconds = seconds


def person_with_password(request: HttpRequest, username: str, password: str) -> User | None:
    """Return whose name and password these are, or nothing; the one way to compare a password.

    Raises :class:`TooManyTriesError` without comparing. The try is counted before it is compared, in a transaction of
    its own: however many arrive at once, no more are compared than are allowed.
    """
    account, now = account_of(username), timezone.now()
    answer = take_try(_counts(request, account, now), now)
    if isinstance(answer, Held):
        _log.warning("Sign-in held by the limit '%s', asked from %s", answer.kind, client_address(request))
        raise TooManyTriesError(answer.seconds)
    person = authenticate(request, username=username, password=password)
    if not isinstance(person, User):
        return None
    give_back(answer, forget=(BROWSER, PAIR))
    return person


def _counts(request: HttpRequest, account: str, now: datetime) -> list[Counted]:
    if browser := known_browser(request, account):
        return [Counted(limit=BROWSER, key=digest(account, browser), account=account)]
    tablet = device_of(request)
    place = f"tablet {tablet.pk}" if tablet else f"address {client_address(request)}"
    counts = [Counted(limit=PAIR, key=digest(account, place), account=account)]
    if not is_fresh(account, now):
        counts.append(Counted(limit=PLACE, key=digest(place)))
    if tablet is None:
        # Strangers cannot be at a tablet of the shop, so what they try elsewhere does not count there.
        counts.append(Counted(limit=ACCOUNT, key=account, account=account))
    return counts
