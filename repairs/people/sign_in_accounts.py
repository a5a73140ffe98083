"""The name that somebody signs in with, as limits count it, and how a new password puts an end to them."""

from __future__ import annotations

import unicodedata
from datetime import datetime, timedelta
from typing import Final

from django.utils.crypto import salted_hmac

from repairs.people.models import TryCount
from repairs.people.try_limits import Counted, Limit, take_try

# Not a limit: while this row is held, an administrator has just set the password, and the place does not count.
FRESH: Final = Limit(kind="fresh", most=1, window=timedelta(hours=1))


def digest(*parts: str) -> str:
    """Return what is stored in place of names and addresses. People type passwords where the name belongs."""
    return salted_hmac("sign-in limits", "\0".join(parts), algorithm="sha256").hexdigest()


def account_of(username: str) -> str:
    """Return one digest for a name however it is spelled; whether anybody has it does not matter."""
    return digest(unicodedata.normalize("NFKC", username).strip().casefold())


def begin_anew(username: str, now: datetime) -> None:
    """Put an end to whatever is held for a name, wherever it was tried; call it where its password is set."""
    account = account_of(username)
    TryCount.objects.filter(account=account).delete()
    take_try([Counted(limit=FRESH, key=account, account=account)], now)


def is_fresh(account: str, now: datetime) -> bool:
    """Whether the password was set so lately that its owner is expected."""
    until = TryCount.objects.filter(kind=FRESH.kind, key=account, held_until__gt=now)
    return until.filter(held_until__lte=now + FRESH.window).exists()
