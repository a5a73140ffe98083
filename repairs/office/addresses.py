"""Addresses of the records that long lists lead to: the resolver is asked once for each."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from django.urls import reverse

# Some pages of lists; an address never changes while the program runs.
KEPT: Final = 2048


@lru_cache(maxsize=KEPT)
def job_address(number: str) -> str:
    """Return the address of a job's page."""
    return reverse("office:job", args=[number])


@lru_cache(maxsize=KEPT)
def motor_address(pk: int) -> str:
    """Return the address of a motor's page."""
    return reverse("office:motor", args=[pk])


@lru_cache(maxsize=KEPT)
def customer_address(pk: int) -> str:
    """Return the address of a customer's page."""
    return reverse("office:customer", args=[pk])
