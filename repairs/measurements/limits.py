"""How a reading is judged, and how large a number may be. Pure: no database, no form."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from django.utils.translation import gettext as _

DECIMALS: Final = 6
# Fifteen digits in all: SQLite keeps a decimal number exactly up to there, and no instrument shows more.
LARGEST: Final = Decimal("999999999.999999")


def refused_number(value: Decimal) -> str:
    """Say why a number cannot be kept exactly, or return an empty text."""
    exponent = value.as_tuple().exponent
    if not isinstance(exponent, int):
        return _("“{value}” is not a number. Write figures, with a point before decimals.").format(
            value=value
        )
    if abs(value) > LARGEST:
        return _("{value} is out of range. Accepted: -999999999 to 999999999.").format(value=value)
    if exponent < -DECIMALS and value != value.quantize(Decimal(1).scaleb(-DECIMALS)):
        return _("{value} has too many decimals. Accepted: at most 6.").format(value=value)
    return ""


def verdict_of(value: Decimal, low: Decimal | None, high: Decimal | None, source: str) -> str:
    """Return pass or fail; without a limit, or with one that names no source, "not checked"."""
    if (low is None and high is None) or not source.strip():
        return "not_checked"
    inside = (low is None or value >= low) and (high is None or value <= high)
    return "pass" if inside else "fail"
