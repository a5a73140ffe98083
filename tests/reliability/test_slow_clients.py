"""Slow and silent clients hold nobody up: the documented start line, asked over real connections."""

from __future__ import annotations

import http.client
import socket
import ssl
import subprocess
import time
from collections.abc import Iterator
from contextlib import closing
from urllib.parse import urlencode

import pytest

from repairs import serving, slow_clients
from repairs.gathered_requests import (
    GATHER_S,
    LONGEST_HEAD_BYTES,
    SHORT_BODY_BYTES,
    Gathered,
    Worth,
    missing_bytes,
)
from repairs.slow_clients import GIVEN_UP_S, MOST_WAITING, WAITING_S, Wait, overdue
from tests.benchmarks.real_server import Person, expect, served_as_documented, shop_environment

HEAD = b"POST /sign-in/ HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\n"


@pytest.fixture(scope="module")
def port(tmp_path_factory) -> Iterator[int]:
    environment = shop_environment(tmp_path_factory.mktemp("shop"), "")
    alone = {"DJANGO_SETTINGS_MODULE": "tests.settings", "GUNICORN_CMD_ARGS": "--workers 1"}
    with served_as_documented({**environment, **alone}) as port:
        yield port


def slowest(port: int, seconds: float) -> float:
    """Ask a page again and again; return the longest that it took."""
    end, longest = time.monotonic() + seconds, 0.0
    while time.monotonic() < end:
        longest = max(longest, expect(Person(port, "").get("/no-such-page/"), 404).seconds)
        time.sleep(0.1)
    return longest


@pytest.mark.parametrize(
    "begins",
    [
        b"",
        b"GET / HTTP/1.1\r\nHost: ",
        HEAD + b"Content-Length: 9000\r\n\r\nusername=",
        HEAD + b"Content-Length: 9000000\r\n\r\nusername=",
        HEAD + b"Transfer-Encoding: chunked\r\n\r\n5\r\nuser",
    ],
    ids=["silent", "half a head", "half a form", "half an upload", "half a piece"],
)
def test_eighty_clients_that_do_not_come_on_hold_nobody_up(port, begins):
    """One process alone serves here, so that all of them come to it; from the first page on nobody waits."""
    slow = [socket.create_connection(("127.0.0.1", port)) for _one in range(80)]
    try:
        for line in slow:
            line.sendall(begins)
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
    assert serving.UPLOAD_THREADS > slow_clients.MOST_WAITING


@pytest.mark.parametrize(
    ("sent", "missing"),
    [
        (b"GET / HT", 1),
        (b"GET / HTTP/1.1\r\nHost: a\r\n\r\n", 0),
        (HEAD + b"content-length:  12 \r\n\r\nusername=", 3),
        (HEAD + b"Content-Length: 9\r\n\r\nusername=GET / HTTP/1.1\r\n", 0),
        (HEAD + b"Content-Length: %d\r\n\r\n" % SHORT_BODY_BYTES, SHORT_BODY_BYTES),
        (HEAD + b"Content-Length: %d\r\n\r\n" % (SHORT_BODY_BYTES + 1), None),
        (HEAD + b"transfer-encoding: chunked\r\n\r\n", None),
        (HEAD + b"Content-Length: many\r\n\r\n", 0),
        (b"a" * (LONGEST_HEAD_BYTES + 1), 0),
    ],
)
def test_how_much_of_a_request_is_missing(sent, missing):
    assert missing_bytes(sent) == missing


@pytest.mark.parametrize(
    ("sent", "ended", "after_s", "worth"),
    [
        (b"", False, 1, Worth.WAIT),
        (b"", True, 1, Worth.END),
        (b"GET /", False, GATHER_S - 1, Worth.WAIT),
        (b"GET /", False, GATHER_S + 1, Worth.END),
        (b"GET /", True, 1, Worth.THREAD),
        (b"GET / HTTP/1.1\r\n\r\n", False, GATHER_S + 1, Worth.THREAD),
        (HEAD + b"Content-Length: 999999\r\n\r\n", False, 1, Worth.UPLOAD_THREAD),
    ],
)
def test_what_a_request_so_far_is_worth(sent, ended, after_s, worth):
    assert Gathered(begun=100.0, data=bytearray(sent), ended=ended).worth(100.0 + after_s) is worth


def test_requests_sent_at_once_are_answered_one_after_the_other(port):
    asked = b"GET /no-such-page/ HTTP/1.1\r\nHost: 127.0.0.1\r\n"
    with closing(socket.create_connection(("127.0.0.1", port))) as line:
        line.settimeout(20)
        line.sendall((asked + b"\r\n") * 2 + asked + b"Connection: close\r\n\r\n")
        answers = b"".join(iter(lambda: line.recv(65536), b""))
    assert answers.count(b"HTTP/1.1 404") == 3


def test_a_form_that_comes_in_pieces_arrives_whole(port):
    form = b"username=nobody&password=" + b"a" * 30
    with closing(socket.create_connection(("127.0.0.1", port))) as line:
        line.settimeout(20)
        for piece in (
            HEAD[:20],
            HEAD[20:],
            b"Content-Length: %d\r\n" % len(form),
            b"\r\n",
            form[:9],
            form[9:],
        ):
            line.sendall(piece)
            time.sleep(0.2)
        # The form is read and refused for want of its token: the server met all of it.
        assert b"HTTP/1.1 403" in line.recv(65536)


@pytest.fixture
def tls_port(tmp_path) -> Iterator[int]:
    """A shop on a closed network: the server speaks https itself, with a certificate of its own."""
    key, certificate = tmp_path / "shop.key", tmp_path / "shop.crt"
    asked = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "rsa:2048",
        "-nodes",
        "-days",
        "2",
        "-subj",
        "/CN=127.0.0.1",
    ]
    subprocess.run([*asked, "-keyout", str(key), "-out", str(certificate)], check=True, capture_output=True)
    alone = {"DJANGO_SETTINGS_MODULE": "tests.settings", "GUNICORN_CMD_ARGS": "--workers 1"}
    environment = shop_environment(tmp_path, "") | alone
    with served_as_documented(environment, (certificate, key)) as port:
        yield port


@pytest.mark.parametrize("begins", [b"", b"\x16\x03\x01\x02"], ids=["silent", "half a greeting"])
def test_clients_that_never_agree_on_tls_hold_nobody_up(tls_port, begins):
    slow = [socket.create_connection(("127.0.0.1", tls_port)) for _one in range(80)]
    trusting = ssl.create_default_context()
    trusting.check_hostname, trusting.verify_mode = False, ssl.CERT_NONE
    try:
        for line in slow:
            line.sendall(begins)
        form = urlencode({"username": "a" * 70_000})
        for method, body, status in (("GET", None, 200), ("POST", "username=a", 403), ("POST", form, 403)):
            begun = time.monotonic()
            line = http.client.HTTPSConnection("127.0.0.1", tls_port, timeout=20, context=trusting)
            with closing(line) as asked:
                asked.request(
                    method, "/sign-in/", body, {"Content-Type": "application/x-www-form-urlencoded"}
                )
                assert asked.getresponse().status == status
            assert time.monotonic() - begun < 2.0
    finally:
        for line in slow:
            line.close()
