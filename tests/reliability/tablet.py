"""A tablet's outbox as the server sees it: order, headers, keys and retries of ``static/js/outbox_sender.js``."""

from __future__ import annotations

import json
import random
import socket
import time
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

MADE_AT = "2026-11-25T07:00:00+00:00"


@dataclass(slots=True, kw_only=True)
class Entry:
    """One form that waits, with the mark by which the shop's records are searched for it afterwards."""

    mark: str
    url: str
    fields: dict[str, str]
    photo: bytes = b""
    record: str = ""
    key: str = field(default_factory=lambda: uuid4().hex)


class LineCutError(Exception):
    """No answer arrived; whether the server carried the entry out is not known."""


@dataclass(slots=True)
class Tally:
    """What happened on the way."""

    tries: int = 0
    cut_before: int = 0
    cut_after: int = 0
    unanswered: int = 0
    conflicts: int = 0
    refused: list[str] = field(default_factory=list)
    acknowledged: list[str] = field(default_factory=list)


class Tablet:
    """Sends its entries in order until each is answered. ``cuts`` is the share of exchanges that the line breaks."""

    def __init__(
        self, *, port: int, person: int, session: str, entries: list[Entry], cuts: float, seed: int
    ) -> None:
        self.port, self.person, self.session = port, person, session
        self.entries, self.cuts = entries, cuts
        self.chance = random.Random(seed)
        self.tally = Tally()
        self._secret = ""

    def send_all(self, deadline: float) -> None:
        """Send until nothing waits, or until the deadline."""
        waiting, pause = list(self.entries), 0.02
        while waiting and time.monotonic() < deadline:
            try:
                token = self._token()
                while waiting:
                    self._carry_out(waiting, token)
                    pause = 0.02
            except (OSError, LineCutError):
                self.tally.unanswered += 1
                time.sleep(pause)
                pause = min(2 * pause, 0.5)

    def _carry_out(self, waiting: list[Entry], token: str) -> None:
        entry = waiting[0]
        answer = self._post(entry, token)
        state = answer["state"]
        if state == "done":
            self.tally.acknowledged.append(entry.mark)
            self._follow(entry, waiting[1:], answer.get("version"))
            waiting.pop(0)
        elif state == "conflict":
            # The author looks at both versions and does it to the record as it is now: a new form, a new key.
            self.tally.conflicts += 1
            entry.fields["version"], entry.key = str(answer["version"]), uuid4().hex
        else:
            self.tally.refused.append(f"{entry.mark}: {answer}")
            waiting.pop(0)

    def _follow(self, sent: Entry, later: list[Entry], version: int | None) -> None:
        """Let own later acts on the record follow the version that this one made."""
        if version is None:
            return
        seen = sent.fields["version"]
        for entry in later:
            if entry.record == sent.record and entry.fields.get("version") == seen:
                entry.fields["version"] = str(version)

    def _token(self) -> str:
        answer = self._exchange("GET", "/bench/outbox/token/", {"X-Outbox": "later"}, b"", whole=True)
        found = json.loads(answer)
        assert found["person"] == self.person
        return str(found["token"])

    def _post(self, entry: Entry, token: str) -> dict[str, Any]:
        self.tally.tries += 1
        kind, body = multipart({**entry.fields, "form_key": entry.key}, entry)
        headers = {
            "X-Outbox": "later",
            "X-Outbox-Person": str(self.person),
            "X-Made-At": MADE_AT,
            "X-CSRFToken": token,
            "Content-Type": kind,
            "Content-Length": str(len(body)),
        }
        answer: dict[str, Any] = json.loads(self._exchange("POST", entry.url, headers, body, whole=False))
        return answer

    def _exchange(self, method: str, url: str, headers: dict[str, str], body: bytes, *, whole: bool) -> bytes:
        """Send one request on a connection of its own; the line may break in the middle of it or before the answer."""
        told = {
            "Host": f"127.0.0.1:{self.port}",
            "Cookie": f"sessionid={self.session}; csrftoken={self._secret}",
            "Connection": "close",
            **headers,
        }
        head = "".join(f"{name}: {value}\r\n" for name, value in told.items())
        request = f"{method} {url} HTTP/1.1\r\n{head}\r\n".encode() + body
        breaks = 0.0 if whole else self.chance.random() / self.cuts if self.cuts else 1.0
        with socket.create_connection(("127.0.0.1", self.port), 5) as line:
            line.settimeout(20)
            if not whole and breaks < 0.5:
                self.tally.cut_before += 1
                line.sendall(request[: self.chance.randrange(len(request))])
                raise LineCutError
            line.sendall(request)
            if not whole and breaks < 1:
                self.tally.cut_after += 1
                raise LineCutError
            answer = b"".join(iter(lambda: line.recv(65536), b""))
        return self._read(answer)

    def _read(self, answer: bytes) -> bytes:
        """Return the content of an answer that arrived whole."""
        head, _blank, content = answer.partition(b"\r\n\r\n")
        lines = head.decode("latin-1").split("\r\n")
        fields = {name.lower(): value for name, _colon, value in (one.partition(": ") for one in lines[1:])}
        if not lines[0].startswith("HTTP/1.1 ") or len(content) < int(fields.get("content-length", "0")):
            raise LineCutError
        if "application/json" not in fields.get("content-type", ""):
            raise LineCutError
        cookie = fields.get("set-cookie", "")
        if cookie.startswith("csrftoken="):
            self._secret = cookie.split("=", 1)[1].split(";")[0]
        return content


def multipart(fields: dict[str, str], entry: Entry) -> tuple[str, bytes]:
    """Return content type and body as a browser sends a form with a photo."""
    edge = uuid4().hex
    parts = [
        f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
        for name, value in fields.items()
    ]
    if entry.photo:
        head = f'--{edge}\r\nContent-Disposition: form-data; name="files"; filename="{entry.mark}.jpg"\r\n'
        parts += [head.encode(), b"Content-Type: image/jpeg\r\n\r\n", entry.photo, b"\r\n"]
    return f"multipart/form-data; boundary={edge}", b"".join([*parts, f"--{edge}--\r\n".encode()])
