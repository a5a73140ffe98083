"""Bytes that no client library sends, on a real server: each is answered below 500 or the line is closed."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from random import Random
from typing import Final

import pytest

from tests.reliability.killed_server import KilledServer

HOST: Final = b"Host: 127.0.0.1\r\n"
FORM: Final = b"Content-Type: application/x-www-form-urlencoded\r\n"
PARTS: Final = b"Content-Type: multipart/form-data; boundary=x\r\n"
SIGN_IN: Final = b"POST /sign-in/ HTTP/1.1\r\n" + HOST
RAW: Final = {
    "nothing": b"",
    "no request": b"\x00\x01\x02\r\n\r\n",
    "no version": b"GET /\r\n\r\n",
    "no host": b"GET /sign-in/ HTTP/1.1\r\n\r\n",
    "foreign host": b"GET /sign-in/ HTTP/1.1\r\nHost: [\r\n\r\n",
    "address with controls": b"GET /sign-in/%00%1b?q=%00%ff HTTP/1.1\r\n" + HOST + b"\r\n",
    "address not in utf-8": b"GET /p/\xff\xfe/ HTTP/1.1\r\n" + HOST + b"\r\n",
    "long address": b"GET /p/" + b"x" * 3500 + b"/ HTTP/1.1\r\n" + HOST + b"\r\n",
    "whole address": b"GET http://127.0.0.1/sign-in/ HTTP/1.1\r\n" + HOST + b"\r\n",
    "odd method": b"F00 /sign-in/ HTTP/1.1\r\n" + HOST + b"\r\n",
    "number beyond rows": b"GET /bench/people/" + b"9" * 400 + b"/ HTTP/1.1\r\n" + HOST + b"\r\n",
    "too long": SIGN_IN + FORM + b"Content-Length: 99999999999\r\n\r\nx",
    "length with a sign": SIGN_IN + FORM + b"Content-Length: -1\r\n\r\nx",
    "length of thousands of figures": SIGN_IN + FORM + b"Content-Length: " + b"9" * 5000 + b"\r\n\r\nx",
    "two lengths": SIGN_IN + FORM + b"Content-Length: 1\r\nContent-Length: 2\r\n\r\nxx",
    "length and chunks": SIGN_IN + FORM + b"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
    "chunks": SIGN_IN + FORM + b"Transfer-Encoding: chunked\r\n\r\n5\r\na=%00\r\n0\r\n\r\n",
    "wrong chunks": SIGN_IN + FORM + b"Transfer-Encoding: chunked\r\n\r\nzz\r\nabc\r\n",
    "broken off": SIGN_IN + FORM + b"Content-Length: 50\r\n\r\nusername=x",
    "parts broken off": SIGN_IN
    + PARTS
    + b'Content-Length: 90\r\n\r\n--x\r\nContent-Disposition: form-data; name="a"',
    "parts without a name": SIGN_IN + PARTS + b"Content-Length: 20\r\n\r\n--x\r\n\r\nab\r\n--x--\r\n\r\n\r\n",
    "coding": SIGN_IN + b"Content-Type: text/plain; charset*=x'y'z\r\nContent-Length: 1\r\n\r\nx",
    "coding of another kind": SIGN_IN + b"Content-Type: a/b; charset=hex\r\nContent-Length: 2\r\n\r\nzz",
    "utf-16": SIGN_IN + FORM.replace(b"\r\n", b"; charset=utf-16\r\n") + b"Content-Length: 3\r\n\r\na=b",
    "a thousand headers": b"GET /sign-in/ HTTP/1.1\r\n" + HOST + b"X-A: b\r\n" * 1000 + b"\r\n",
    "a long header": b"GET /sign-in/ HTTP/1.1\r\n" + HOST + b"X-A: " + b"b" * 9000 + b"\r\n\r\n",
    "a header with NUL": b"GET /sign-in/ HTTP/1.1\r\n" + HOST + b"X-A: \x00\r\n\r\n",
    "a header not in ascii": b"GET /sign-in/ HTTP/1.1\r\n"
    + HOST
    + "X-Outbox: ²é\r\nReferer: ²\r\n\r\n".encode(),
    "a cookie in octal": b"GET /bench/people/ HTTP/1.1\r\n"
    + HOST
    + b'Cookie: sessionid="\\000\\000aaaaaaaa"\r\n\r\n',
    "another's start": b"GET /sign-in/ HTTP/1.1\r\n"
    + HOST
    + b"SCRIPT_NAME: /evil\r\nX-Forwarded-Host: evil\r\n\r\n",
    "a range": b"GET /sign-in/ HTTP/1.1\r\n" + HOST + b"Range: bytes=99999999999999999999-\r\n\r\n",
    "an upgrade": b"GET /sign-in/ HTTP/1.1\r\n" + HOST + b"Connection: Upgrade\r\nUpgrade: h2c\r\n\r\n",
    "two at once": (b"GET /sign-in/ HTTP/1.1\r\n" + HOST + b"\r\n") * 2,
}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[KilledServer]:
    folder: Path = tmp_path_factory.mktemp("raw")
    shop = KilledServer(folder)
    shop.seed(1)
    shop.start()
    yield shop
    shop.kill()


def answer_to(server: KilledServer, sent: bytes) -> int:
    """Send bytes and no more; return the status, or 0 where the line was closed without one."""
    with socket.create_connection(("127.0.0.1", server.port), 20) as line:
        line.settimeout(20)
        # The server may have refused and closed before all of it was sent.
        with suppress(OSError):
            line.sendall(sent)
            line.shutdown(socket.SHUT_WR)
        with suppress(OSError):
            head = line.recv(64).split(b" ")
            return int(head[1]) if len(head) > 1 else 0
    return 0


def test_raw_bytes_never_end_in_5xx(server):
    answers = {name: answer_to(server, sent) for name, sent in RAW.items()}
    assert {name: status for name, status in answers.items() if status >= 500} == {}
    assert answers["too long"] == 413
    assert answers["coding"] == answers["coding of another kind"] == answers["utf-16"] == 415
    assert answers["number beyond rows"] == 404


def test_requests_with_bytes_changed_at_random_never_end_in_5xx(server):
    chance, wrong = Random(7), {}
    whole = [RAW["two at once"], SIGN_IN + FORM + b"Content-Length: 21\r\n\r\nusername=x&password=y"]
    for number in range(150):
        sent = bytearray(chance.choice(whole))
        for _change in range(chance.randint(1, 6)):
            sent[chance.randrange(len(sent))] = chance.randrange(256)
        if (status := answer_to(server, bytes(sent))) >= 500 and b"Transfer" not in sent:
            wrong[number] = (status, bytes(sent))
    assert wrong == {}
    assert answer_to(server, RAW["two at once"]) == 200
