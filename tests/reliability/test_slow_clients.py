"""Slow and silent clients hold nobody up: the documented start line, asked over real connections."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator
from contextlib import closing

import pytest

from repairs import serving, slow_clients
from repairs.slow_clients import GIVEN_UP_S, MOST_WAITING, WAITING_S, Wait, overdue
from tests.benchmarks.real_server import Person, expect, served_as_documented, shop_environment

HEAD = b"POST /sign-in/ HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\n"


@pytest.fixture(scope="module")
def port(tmp_path_factory) -> Iterator[int]:
    environment = shop_environment(tmp_path_factory.mktemp("shop"), "")
    with served_as_documented({**environment, "DJANGO_SETTINGS_MODULE": "tests.settings"}) as port:
        yield port


def slowest(port: int, seconds: float) -> float:
    """Ask a page again and again; return the longest that it took."""
    end, longest = time.monotonic() + seconds, 0.0
    while time.monotonic() < end:
        longest = max(longest, expect(Person(port, "").get("/no-such-page/"), 404).seconds)
        time.sleep(0.1)
    return longest


@pytest.mark.parametrize(
    "begins", [b"", b"GET / HTTP/1.1\r\nHost: ", HEAD + b"Content-Length: 9000\r\n\r\nusername="],
    ids=["silent", "half a head", "half a body"],
)  # fmt: skip
def test_forty_clients_that_do_not_come_on_hold_nobody_up(port, begins):
    slow = [socket.create_connection(("127.0.0.1", port)) for _one in range(40)]
    try:
        for line in slow:
            line.sendall(begins)
        # The first look may meet them before they count as waiting; afterwards threads are free.
        slowest(port, 0.1)
        assert slowest(port, 4) < 2.0
    finally:
        for line in slow:
            line.close()


def seconds_until_cut(line: socket.socket) -> float:
    """Send a byte now and then until the server ends the connection."""
    begun = time.monotonic()
    line.settimeout(0.2)
    while (passed := time.monotonic() - begun) < GIVEN_UP_S + 20:
        try:
            line.sendall(b"a")
            if line.recv(4096) == b"":
                break
        except TimeoutError:
            continue
        except OSError:
            break
    return passed


def test_a_body_that_dribbles_in_is_cut_and_the_server_goes_on(port):
    with closing(socket.create_connection(("127.0.0.1", port))) as line:
        line.sendall(HEAD + b"Content-Length: 9000\r\n\r\n")
        assert GIVEN_UP_S - 1 < seconds_until_cut(line) < GIVEN_UP_S + 10
    assert slowest(port, 0.3) < 2.0


def test_only_so_many_may_wait_and_the_longest_waits_are_cut_first():
    waits = [Wait(None, since=float(-number)) for number in range(8)]
    now = WAITING_S + 0.5
    cut = overdue(set(waits), now)
    assert cut == [waits[number] for number in (7, 6, 5, 4)]
    assert len(waits) - len(cut) == MOST_WAITING
    assert overdue({Wait(None, since=0.0)}, WAITING_S + 1) == []
    (given_up,) = overdue({Wait(None, since=0.0)}, GIVEN_UP_S + 1)
    assert given_up.since == 0.0


def test_threads_remain_when_as_many_wait_as_may():
    assert serving.worker_class == "repairs.serving.ShopWorker"
    assert serving.threads > slow_clients.MOST_WAITING
