"""American English: the month before the day; a clock of 12 hours in a US shop, of 24 in an SI shop."""

from __future__ import annotations

from typing import Final

from django.conf import settings

DATE_FORMAT: Final = "M j, Y"
TIME_FORMAT: Final = "g:i A" if settings.SHOP_UNITS == "us" else "H:i"
DATETIME_FORMAT: Final = f"{DATE_FORMAT}, {TIME_FORMAT}"
MONTH_DAY_FORMAT: Final = "M j"
