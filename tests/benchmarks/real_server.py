"""A shop served as DEVELOPERS.md says, and people who ask it over real connections."""

from __future__ import annotations

import http.client
import os
import re
import secrets
import signal
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode
from uuid import uuid4

from tests.benchmarks.measuring import ROOT, free_port

START_WITHIN_S = 60
# A person who sends twenty photos waits for them; on a busy machine that takes a while.
ANSWER_WITHIN_S = 300
LONG_WORK_WITHIN_S = 1200


class UnexpectedAnswerError(Exception):
    """An answer is not the one that belongs to the request; the message says which."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as it arrived, with the seconds that it took from connecting to the last byte."""

    status: int
    headers: Mapping[str, str]
    body: str
    seconds: float

    @property
    def location(self) -> str:
        """Where a redirect leads; empty without one."""
        return self.headers.get("location", "")


@dataclass(slots=True)
class Person:
    """Somebody who is signed in, on a device of their own: a connection for each request."""

    port: int
    session: str
    _secret: str = field(default_factory=lambda: secrets.token_hex(16))

    def get(self, address: str, **headers: str) -> Answer:
        return self._ask("GET", address, b"", headers)

    def post(
        self,
        address: str,
        fields: Mapping[str, str],
        files: Mapping[str, list[tuple[str, bytes]]] | None = None,
    ) -> Answer:
        """Send a form; ``files`` holds for each field the names and contents of its files."""
        if files is None:
            return self._ask(
                "POST", address, urlencode(fields).encode(),
                {"Content-Type": "application/x-www-form-urlencoded"},
            )  # fmt: skip
        kind, body = _multipart(fields, files)
        return self._ask("POST", address, body, {"Content-Type": kind})

    def _ask(self, method: str, address: str, body: bytes, headers: Mapping[str, str]) -> Answer:
        begun = time.perf_counter()
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANSWER_WITHIN_S)
        try:
            told = {
                "Cookie": f"sessionid={self.session}; csrftoken={self._secret}",
                "X-CSRFToken": self._secret,
                **headers,
            }
            line.request(method, address, body=body or None, headers=told)
            answer = line.getresponse()
            content = answer.read().decode(errors="replace")
            taken = time.perf_counter() - begun
            heads = {name.lower(): value for name, value in answer.getheaders()}
            return Answer(answer.status, heads, content, taken)
        finally:
            line.close()

    def hidden_fields(self, answer: Answer) -> dict[str, str]:
        """Return the hidden fields of a page's forms, as a browser sends them along."""
        found = re.findall(r'<input type="hidden" name="(\w+)"(?: value="([^"]*)")?', answer.body)
        values = {name: value.replace("&quot;", '"') for name, value in found}
        return {name: value for name, value in values.items() if name != "csrfmiddlewaretoken"}

    def wait_for_long_work(self, page: Answer) -> Answer:
        """Ask after the long work of a page every second, as the page itself does; return what it says when done."""
        found = re.search(r'id="long-work-(\d+)"', page.body)
        if found is None:
            raise UnexpectedAnswerError(f"the page tells of no long work: {page.status} {page.body[:300]}")
        end = time.monotonic() + LONG_WORK_WITHIN_S
        while time.monotonic() < end:
            answer = self.get(f"/long-work/{found[1]}/", **{"HX-Request": "true"})
            if "long-work-ended" in answer.headers.get("hx-trigger", ""):
                if "/again/" in answer.body:
                    raise UnexpectedAnswerError(f"the long work failed: {answer.body}")
                return answer
            time.sleep(1)
        raise UnexpectedAnswerError(f"the long work is not done after {LONG_WORK_WITHIN_S} s")


def expect(answer: Answer, *statuses: int) -> Answer:
    """Return an answer of one of these statuses; anything else is an error, and said."""
    if answer.status not in statuses:
        words = re.sub(r"<[^>]*>|\s+", " ", answer.body)
        raise UnexpectedAnswerError(f"{answer.status} instead of {statuses}: {words[:800]}")
    return answer


def _multipart(fields: Mapping[str, str], files: Mapping[str, list[tuple[str, bytes]]]) -> tuple[str, bytes]:
    edge = uuid4().hex
    parts = [
        f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
        for name, value in fields.items()
    ]
    for name, several in files.items():
        for filename, content in several:
            head = f'--{edge}\r\nContent-Disposition: form-data; name="{name}"; filename="{filename}"\r\n'
            parts += [head.encode(), b"Content-Type: application/octet-stream\r\n\r\n", content, b"\r\n"]
    return f"multipart/form-data; boundary={edge}", b"".join([*parts, f"--{edge}--\r\n".encode()])


def documented_start() -> list[str]:
    """Return the start line that DEVELOPERS.md tells a shop to use, from behind the program's name."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(r"gunicorn (repairs\.wsgi[^`\n]*)", text)
    if found is None:
        raise SystemExit("DEVELOPERS.md has no start line of gunicorn.")
    return found[1].split()


def shop_environment(folder: Path, database: str) -> dict[str, str]:
    """Return the variables of a shop in a folder of its own, in SQLite or in a database that is named."""
    told = {
        "DJANGO_SETTINGS_MODULE": "repairs.settings",
        "MOUNTSIDE_SECRET_KEY": "benchmark",
        "MOUNTSIDE_PLAIN_HTTP": "1",
        "MOUNTSIDE_FOLDER": str(folder),
    }
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    return kept | told | ({"DATABASE_URL": database} if database else {})


@contextmanager
def served_as_documented(
    environment: Mapping[str, str], certificate: tuple[Path, Path] | None = None
) -> Iterator[int]:
    """Serve a shop by the documented start line; yield its port. The whole process group is ended afterwards.

    With a certificate and its key, the server speaks https itself, as on a closed network.
    """
    port = free_port()
    bind = ["--bind", f"127.0.0.1:{port}", "--log-level", "error"]
    if certificate:
        bind += ["--certfile", str(certificate[0]), "--keyfile", str(certificate[1])]
    command = [sys.executable, "-m", "gunicorn", *documented_start(), *bind]
    process = subprocess.Popen(command, env=dict(environment), cwd=ROOT, start_new_session=True)
    try:
        _wait_until_it_answers(port, tls=certificate is not None)
        yield port
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(30)


def _wait_until_it_answers(port: int, *, tls: bool) -> None:
    end = time.monotonic() + START_WITHIN_S
    while time.monotonic() < end:
        try:
            if tls:
                ssl.get_server_certificate(("127.0.0.1", port), timeout=5)
            else:
                Person(port, "").get("/sign-in/")
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise SystemExit(f"The server did not answer within {START_WITHIN_S} s.")
