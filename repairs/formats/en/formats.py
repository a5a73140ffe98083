"""English: the day before the month and a clock of 24 hours, as on every paper of the shop."""

from __future__ import annotations

from typing import Final

DATE_FORMAT: Final = "j M Y"
TIME_FORMAT: Final = "H:i"
DATETIME_FORMAT: Final = "j M Y, H:i"
MONTH_DAY_FORMAT: Final = "j M"
