"""Addresses of rows in long lists: the resolver is asked once for each kind of page, not once a row."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from django.urls import NoReverseMatch, reverse

NUMBER: Final = "00-0000"
PK: Final = 987654321


def job_address(number: str) -> str:
    """Return the address of a job's page."""
    return _pattern("office:job", NUMBER).replace(NUMBER, number)


def motor_address(pk: int) -> str:
    """Return the address of a motor's page."""
    return _pattern("office:motor", PK).replace(str(PK), str(pk))


def customer_address(pk: int) -> str:
    """Return the address of a customer's page."""
    return _pattern("office:customer", PK).replace(str(PK), str(pk))


@lru_cache(maxsize=8)
def _pattern(name: str, argument: str | int) -> str:
    try:
        return reverse(name, args=[argument])
    except NoReverseMatch:
        return reverse("bench:job", args=[argument])
