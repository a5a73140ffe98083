"""The address that limits count by: what the shop's proxies say, never what a client says."""

from __future__ import annotations

import pytest
from django.test import RequestFactory

from repairs.people.client_address import UNKNOWN, client_address

PROXY = "10.0.0.2"


def address(proxies, settings, forwarded=None, connection=PROXY):
    settings.PROXIES = proxies
    headers = {} if forwarded is None else {"HTTP_X_FORWARDED_FOR": forwarded}
    return client_address(RequestFactory().get("/", REMOTE_ADDR=connection, **headers))


def test_without_a_proxy_the_header_is_not_read(settings):
    assert address(0, settings, "203.0.113.9", "198.51.100.4") == "198.51.100.4"


@pytest.mark.parametrize(
    "forged",
    [
        "203.0.113.9",
        "1.1.1.1, 2.2.2.2, 203.0.113.9",
        "unknown, 203.0.113.9",
        "', 203.0.113.9",
        ",,203.0.113.9",
    ],
)
def test_behind_one_proxy_the_rightmost_entry_counts_whatever_the_client_put_before_it(forged, settings):
    assert address(1, settings, forged) == "203.0.113.9"


def test_behind_two_proxies_the_second_from_the_right_counts(settings):
    assert address(2, settings, "6.6.6.6, 203.0.113.9, 10.0.0.3") == "203.0.113.9"


@pytest.mark.parametrize(
    "forwarded", [None, "", " ", "unknown", "_hidden", "203.0.113", "1.2.3.4.5", "x" * 9000]
)
def test_where_the_header_is_missing_or_no_address_the_connection_counts(forwarded, settings):
    assert address(1, settings, forwarded) == PROXY


def test_a_header_that_is_too_short_for_the_way_stated_is_not_believed(settings):
    assert address(2, settings, "203.0.113.9") == PROXY


@pytest.mark.parametrize(
    ("written", "counted"),
    [
        ("203.0.113.9:4711", "203.0.113.9"),
        ("[2001:db8:1:2:3:4:5:6]:4711", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:ffff:ffff:ffff:ffff", "2001:db8:1:2::/64"),
        ("::ffff:203.0.113.9", "203.0.113.9"),
    ],
)
def test_ports_and_the_free_half_of_an_ipv6_address_make_no_difference(written, counted, settings):
    assert address(1, settings, written) == counted


def test_a_server_on_a_socket_has_no_address(settings):
    assert address(0, settings, connection="") == UNKNOWN
