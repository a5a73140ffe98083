"""How a reading is judged, and how large a number may be. Pure: no database, no form."""

from __future__ import annotations

from decimal import ROUND_DOWN, Decimal
from typing import Final

from django.utils.translation import gettext as _

from bearings.public import exact

DECIMALS: Final = 6
# Fifteen digits in all: SQLite keeps a decimal number exactly up to there, and no instrument shows more.
LARGEST: Final = Decimal("999999999.999999")

# Everything that a gate asks for is a size or a resistance: none of them is ever below nothing.
LEAST_ASKED: Final = Decimal(0)


def refused_number(value: Decimal, *, at_least: Decimal = -LARGEST) -> str:
    """Say why a number cannot be kept exactly or lies below what it can be, or return an empty text."""
    exponent = value.as_tuple().exponent
    if not isinstance(exponent, int):
        return _("“{value}” is not a number. Enter one such as 0.005.").format(value=value)
    if abs(value) > LARGEST or value < at_least:
        words = _("{value} is out of range. Accepted: {least} to 999999999.")
        return words.format(value=value, least=at_least.to_integral_value(ROUND_DOWN))
    if exponent < -DECIMALS and value != value.quantize(Decimal(1).scaleb(-DECIMALS)):
        return _("{value} has too many decimals. Accepted: at most 6.").format(value=value)
    return ""


def verdict_of(value: Decimal, low: Decimal | None, high: Decimal | None, source: str) -> str:
    """Return pass or fail; without a limit, or with one that names no source, "not checked"."""
    if (low is None and high is None) or not source.strip():
        return "not_checked"
    inside = (low is None or value >= low) and (high is None or value <= high)
    return "pass" if inside else "fail"


def limit_words(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """Return a limit as it is shown: at least 5 MΩ."""
    if low is None and high is None:
        return ""
    if low is None or high is None:
        words = _("at most {value} {unit}") if low is None else _("at least {value} {unit}")
        return words.format(value=plain_number(high if low is None else low), unit=unit)
    return _("{low} to {high} {unit}").format(low=plain_number(low), high=plain_number(high), unit=unit)


def plain_number(value: Decimal | None) -> str:
    """Return a number without the zeros that its column adds."""
    return "" if value is None else exact(value)
