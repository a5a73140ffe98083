"""The one reader of numbers that people type: decimals, thousands, fractions of an inch, a unit behind.

A comma is read by the region: in a US shop it sets thousands apart, in an SI shop it stands before decimals. Where it
could be either the person is asked, for guessing wrong is a factor of a thousand.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal, NamedTuple, cast

from django.conf import settings
from django.utils.translation import gettext as _

Region = Literal["us", "si"]
LONGEST: Final = 40
_SIGNS: Final = str.maketrans(
    {
        "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2212": "-", "\u2013": "-", "\u2044": "/", "\u2019": "'",
        "\u2032": "'", "\u201d": '"', "\u201c": '"', "\u2033": '"', "½": " 1/2", "¼": " 1/4", "¾": " 3/4",
        "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    }
)  # fmt: skip
# Rules and drawings divide an inch by two, and again, down to a sixty-fourth.
_FRACTION: Final = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]{1,6})(?: +| *- *))?(?P<over>[0-9]{1,2})/(?P<under>2|4|8|16|32|64)"
    r"(?![0-9/.,])(?P<rest>.*)"
)
_PLAIN: Final = re.compile(
    r"(?P<sign>[+-]?) *(?P<body>[.,]?[0-9](?:[0-9.,]| (?=[0-9]))*)(?P<power>[eE][+-]?[0-9]{1,3})?"
    r"(?P<rest>(?: *(?:[^\W\d_]|[%\"'°#]).*)?)"
)
_GROUPS: Final = {mark: re.compile(rf"[1-9][0-9]{{0,2}}(?:{re.escape(mark)}[0-9]{{3}})+") for mark in " ,."}


class NumberError(ValueError):
    """A text that is no number, or could be two; says which in words for the person who typed it."""


class Typed(NamedTuple):
    """A number exactly as typed, the unit behind it or nothing, and the number's own text."""

    number: Decimal
    unit: str
    text: str


def read_typed(text: str, region: Region | None = None) -> Typed:
    """Return the number that a person typed, and what stands behind it; without a region, as the shop writes.

    Read are ``1785``, ``1,785``, ``1 785``, ``.0005``, ``1 15/16``, ``14-3/4"``, ``87.5 %``, ``40C``.
    """
    region = region or cast(Region, settings.SHOP_UNITS)
    plain = " ".join(text.translate(_SIGNS).split())
    if len(plain) <= LONGEST:
        if fraction := _FRACTION.fullmatch(plain):
            return _typed(_of_fraction(fraction), fraction["rest"], plain)
        if match := _PLAIN.fullmatch(plain):
            number = _decimal(match["body"].rstrip(), region, text.strip())
            number = number.scaleb(int((match["power"] or "e0")[1:]))
            return _typed(-number if match["sign"] == "-" else number, match["rest"], plain)
    raise NumberError(_no_number(text))


def _typed(number: Decimal, rest: str, plain: str) -> Typed:
    return Typed(number, rest.strip(), plain[: len(plain) - len(rest)].strip())


def read_number(text: str, region: Region | None = None) -> Decimal:
    """Return the number that a person typed where its unit stands on the page already."""
    typed = read_typed(text, region)
    if typed.unit:
        raise NumberError(_no_number(text))
    return typed.number


def _of_fraction(match: re.Match[str]) -> Decimal:
    over, under = int(match["over"]), int(match["under"])
    if over >= under:
        raise NumberError(_no_number(match.string))
    exact = Fraction(int(match["whole"] or 0)) + Fraction(over, under)
    number = Decimal(exact.numerator) / Decimal(exact.denominator)
    return -number if match["sign"] == "-" else number


def _decimal(body: str, region: Region, typed: str) -> Decimal:
    spaced = body.split(" ")
    if len(spaced) > 1:
        whole, mark, decimals = _at_decimals(body)
        if not _GROUPS[" "].fullmatch(whole):
            raise NumberError(_no_number(typed))
        return Decimal(whole.replace(" ", "") + (f".{decimals}" if mark else ""))
    marks = {mark: body.count(mark) for mark in ",." if mark in body}
    if not marks or marks == {".": 1}:
        return Decimal(body)
    if len(marks) == 2:
        return _of_two_marks(body, region, typed)
    (mark,) = marks
    if _GROUPS[mark].fullmatch(body) and (marks[mark] > 1 or region == "us"):
        return Decimal(body.replace(mark, ""))
    if marks == {",": 1}:
        return _of_one_comma(body, region, typed)
    raise NumberError(_no_number(typed))


def _at_decimals(body: str) -> tuple[str, str, str]:
    return body.partition("," if "," in body else ".")


def _of_one_comma(body: str, region: Region, typed: str) -> Decimal:
    """Read a lone comma: before decimals in an SI shop, unless it could as well set a thousand apart."""
    point, whole = body.replace(",", "."), body.replace(",", "")
    three = len(body.partition(",")[2]) == 3
    if region == "si" and not (three and _GROUPS[","].fullmatch(body)):
        return Decimal(point)
    if three and body[0] != ",":
        words = _("“{typed}” can be read two ways. Enter {point} or {whole}.")
        raise NumberError(words.format(typed=typed, point=point, whole=whole.lstrip("0") or "0"))
    words = _("“{typed}” has a comma before its decimals. Enter {point}.")
    raise NumberError(words.format(typed=typed, point=point))


def _of_two_marks(body: str, region: Region, typed: str) -> Decimal:
    """Read commas and points together: the last mark stands before decimals, the other sets thousands apart."""
    last = max(",.", key=body.rfind)
    other = "," if last == "." else "."
    whole, _mark, decimals = body.rpartition(last)
    if last in whole or not _GROUPS[other].fullmatch(whole):
        raise NumberError(_no_number(typed))
    if last == "," and region == "us":
        point = f"{whole.replace('.', '')}.{decimals}"
        words = _("“{typed}” has a comma before its decimals. Enter {point}.")
        raise NumberError(words.format(typed=typed, point=point))
    return Decimal(f"{whole.replace(other, '')}.{decimals}")


def _no_number(text: str) -> str:
    return _("“{typed}” is not a number. Enter a number such as 1785, 0.5 or 1 15/16.").format(
        typed=text.strip()[:LONGEST]
    )
