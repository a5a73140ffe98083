"""The request as the shop's views see it: somebody is signed in, and htmx says what it asks for."""

from __future__ import annotations

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from repairs.people.models import User


class ShopRequest(HttpRequest):
    """A request behind ``allow()``: the reader is a person of the shop. For type checks only."""

    user: User
    htmx: HtmxDetails
