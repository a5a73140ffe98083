"""Which PINs are refused, and how long a wrong one makes people wait. Rules alone: no database."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Final

from django.utils.translation import gettext as _

FEWEST_DIGITS: Final = 4
MOST_DIGITS: Final = 8
# common practice, no source: the counts and times below
MOST_TRIES: Final = 5
LOCK: Final = timedelta(minutes=15)
LONGEST_LOCK: Final = timedelta(hours=24)
WINDOW: Final = timedelta(minutes=15)
MOST_ON_A_DEVICE: Final = 15
MOST_IN_THE_SHOP: Final = 60
TRIES_KEPT: Final = timedelta(days=1)
ONE_TIME_HOLDS: Final = timedelta(hours=24)
WAITS: Final = (0, 0, 2, 5, 10)

_UP: Final = "01234567890123456789"
# Straight lines over the keys: 2580, 147258369.
_COLUMNS: Final = ("147", "258", "369", "2580", "159", "357")


def wait_after(failures: int) -> timedelta:
    """Return how long after so many wrong tries the next one is taken."""
    return timedelta(seconds=WAITS[min(failures, len(WAITS) - 1)])


def lock_for(lockouts: int) -> timedelta:
    """Return how long the PIN is shut; each time in a row without a right one doubles it."""
    return min(LOCK * (1 << min(lockouts, 10)), LONGEST_LOCK)


def fault_of(pin: str, digits: int) -> str:
    """Say what is wrong with a PIN that somebody wants to have; nothing when it will do."""
    if not re.fullmatch(r"[0-9]+", pin):
        return _("Use digits 0 to 9 only.")
    if len(pin) != digits:
        return _("This PIN has {count} digits; it needs {digits}.").format(count=len(pin), digits=digits)
    if len(set(pin)) <= 2:
        return _("Too easy to guess. Use at least three different digits.")
    if pin in _UP or pin[::-1] in _UP:
        return _("Digits in sequence are easy to guess. Choose others.")
    if _repeats(pin):
        return _("Repeated groups are easy to guess. Choose other digits.")
    if _is_year(pin[:4]) or _is_year(pin[-4:]):
        return _("This looks like a year, which is easy to guess. Choose other digits.")
    if _is_straight(pin):
        return _("A straight line on the keypad is easy to guess. Choose other digits.")
    return ""


def _repeats(pin: str) -> bool:
    return any(
        len(pin) % size == 0 and pin == pin[:size] * (len(pin) // size)
        for size in range(1, len(pin) // 2 + 1)
    )


def _is_year(four: str) -> bool:
    return 1930 <= int(four) <= 2039


def _is_straight(pin: str) -> bool:
    """Whether it is made of whole columns or diagonals of the keys, each in one direction or the other."""
    lines = "|".join([*_COLUMNS, *(line[::-1] for line in _COLUMNS)])
    return re.fullmatch(f"(?:{lines})+", pin) is not None
