"""Days, delays and plates in a word or two, as lists show them."""

from __future__ import annotations

from datetime import date, datetime, time
from functools import lru_cache

from django.utils import timezone
from django.utils.formats import date_format, time_format
from django.utils.translation import get_language, ngettext

from bearings.public import grouped, plain
from repairs.motors.units import preferred_unit, with_unit


def date_words(day: date, today: date) -> str:
    """Write a date short: Nov 27, with its year when it is another one."""
    return _written_day(
        day, "MONTH_DAY_FORMAT" if day.year == today.year else "DATE_FORMAT", get_language() or ""
    )


def clock_words(moment: time) -> str:
    """Write a time of day as the shop's clock shows it: 3:34 PM or 15:34."""
    return _written_time(moment.hour, moment.minute, get_language() or "")


# A page writes fifty moments, most of them on a few days; a format is taken apart once for each.
@lru_cache(maxsize=4096)
def _written_day(day: date, form: str, _language: str) -> str:
    return date_format(day, form)


@lru_cache(maxsize=4096)
def _written_time(hour: int, minute: int, _language: str) -> str:
    return time_format(time(hour, minute), "TIME_FORMAT")


def day_words(moment: datetime | None) -> str:
    """Write the day of a moment short."""
    return date_words(timezone.localtime(moment).date(), timezone.localdate()) if moment else ""


def late_words(days: int) -> str:
    """Say by how much a promise is past."""
    return ngettext("%(days)d\u00a0d late", "%(days)d\u00a0d late", days) % {"days": days}


def plate_words(power_w: float | None, speed_rpm: float | None, units: str) -> str:
    """Return power and speed as far as the plate gave them: 300 hp · 1 785 rpm."""
    unit = preferred_unit("power", units)
    words = []
    if power_w is not None:
        words.append(with_unit(plain(unit.from_si(power_w), 4), unit.name, units))
    if speed_rpm is not None:
        words.append(f"{grouped(speed_rpm)}\u00a0rpm")
    return " · ".join(words)
