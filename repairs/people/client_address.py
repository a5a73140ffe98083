"""Whose request it is, as far as an address says so: read through the proxies that the shop runs, and no further."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from typing import Final

from django.conf import settings
from django.http import HttpRequest

UNKNOWN: Final = "unknown"
# A household or a shop is given a whole network of this size, and whoever has it may use any address in it.
IPV6_NETWORK_BITS: Final = 64


def client_address(request: HttpRequest) -> str:
    """Return the address that limits count by: an IPv4 address, the network of an IPv6 address, or ``unknown``.

    Each of the shop's proxies (``MOUNTSIDE_PROXIES``) puts the address that it was asked from at the right end of
    ``X-Forwarded-For``. What lies further left was sent by the client and is never read. Where the header is shorter
    than it must be, or holds no address at that place, the request did not come by the stated way, and the
    address of the connection itself counts.
    """
    connection = request.META.get("REMOTE_ADDR", "")
    if settings.PROXIES:
        forwarded = request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")
        if len(forwarded) >= settings.PROXIES and (named := _read(forwarded[-settings.PROXIES])):
            return named
    return _read(connection) or UNKNOWN


def _read(text: str) -> str:
    """Return an address as limits count it, or nothing where the text is none; a port behind it is left out."""
    text = text.strip()
    if text.startswith("["):
        text = text[1:].partition("]")[0]
    elif text.count(":") == 1:
        text = text.partition(":")[0]
    try:
        address: IPv4Address | IPv6Address = ip_address(text)
    except ValueError:
        return ""
    if isinstance(address, IPv6Address):
        if address.ipv4_mapped is not None:
            return str(address.ipv4_mapped)
        return str(ip_network((int(address), IPV6_NETWORK_BITS), strict=False))
    return str(address)
