"""Malformed requests from one seed, and what the shop answers: none may be 5xx. By hand: ``malformed.py``."""

from __future__ import annotations

import re
import time
import traceback
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from html import unescape
from io import BytesIO
from random import Random
from typing import Any
from urllib.parse import quote_from_bytes

from django.core.signals import got_request_exception
from django.test import Client
from django.urls import Resolver404, URLPattern, URLResolver, get_resolver, resolve, reverse

from repairs.people.permissions import ROLE_MAP, Role
from repairs.wsgi import guard
from tests.reliability import malformed_values as nasty
from tests.reliability.malformed_shop import CUSTOMER, PIN_SESSION, READERS, Shop

ODD_METHODS = ("HEAD", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "FOO")
FRESHEN_EVERY = 60
SLOW_S = 10.0
_FIELD = re.compile(r"<(?:input|select|textarea|button)\b[^>]*?\bname=\"([^\"]+)\"[^>]*>")
_LINK = re.compile(r"\b(?:href|action|formaction|hx-get|hx-post)=\"(/[^\"#]*)\"")
_VALUE = re.compile(r"\bvalue=\"([^\"]*)\"")


def addresses(resolver: URLResolver | None = None, space: str = "") -> Iterator[tuple[str, URLPattern]]:
    """Yield every address of the shop with its full name."""
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from addresses(entry, f"{entry.namespace}:" if entry.namespace else space)
        else:
            yield f"{space}{entry.name}", entry


@dataclass
class Finding:
    """A request that was answered with 5xx, or that an exception ended which nobody expected."""

    number: int
    words: str
    status: int
    trace: str

    def __str__(self) -> str:
        return f"#{self.number} {self.status} {self.words}\n{self.trace}"


@dataclass
class Malformed:
    """Sends the requests of one seed, one after the other."""

    seed: int
    shop: Shop
    findings: list[Finding] = field(default_factory=list)
    statuses: Counter[int] = field(default_factory=Counter)
    reached: Counter[str] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")

    def __post_init__(self) -> None:
        self.chance = Random(self.seed)
        self.map = list(addresses())
        self.fields: dict[tuple[str, str], list[tuple[str, str]]] = {}
        self.refused: dict[URLPattern, set[str]] = defaultdict(set)
        # Addresses that pages name, by the name of what they lead to.
        self.seen: dict[str, list[str]] = defaultdict(list)
        self._errors: list[str] = []
        got_request_exception.connect(self._note, weak=False)

    def _note(self, **_more: Any) -> None:
        self._errors.append(traceback.format_exc(limit=-9))

    def run(self, requests: int) -> None:
        try:
            self.shop.freshen()
            self._look_around()
            for number in range(1, requests + 1):
                if number % FRESHEN_EVERY == 1:
                    self.shop.freshen()
                self._send(number)
        finally:
            got_request_exception.disconnect(self._note)

    def _send(self, number: int) -> None:
        name, pattern = self.map[number // 2 % len(self.map)] if number % 2 else self.chance.choice(self.map)
        if name == "office:document" and self.chance.random() < 0.9:
            # Each prints a paper, which takes as long as a hundred others.
            name, pattern = self.chance.choice(self.map)
        reader = self._reader(name, pattern)
        client = self.shop.clients[reader]
        path = self._path(name, pattern)
        method = self._method(pattern)
        body, kind = self._body(client, reader, name, path) if method != "GET" else (b"", "")
        query = self._query(client, reader, name, path)
        headers = self._headers(body)
        words = f"{reader} {method} {name} {path[:200]}?{query[:200]} {kind[:60]} {body[:300]!s} {str(headers)[:300]}"
        began, self._errors = time.monotonic(), []
        extra = {"CONTENT_TYPE": kind, "QUERY_STRING": query, **headers}
        if body:
            length = str(len(body) + (self.chance.random() < 0.03) * 7)
            extra |= {"CONTENT_LENGTH": length, "wsgi.input": BytesIO(body)}
        try:
            answer = client.generic(method, path, **guard(extra))
            if answer.streaming:
                b"".join(answer.streaming_content)
            answer.close()
            status = answer.status_code
        except Exception:
            self._errors.append(traceback.format_exc(limit=-9))
            status = 599
        self.slowest = max(self.slowest, (time.monotonic() - began, f"#{number} {words}"))
        if status == 405 and method in {"GET", "POST"}:
            self.refused[pattern].add(method)
        self.statuses[status] += 1
        self.reached[name] += 1
        if status >= 500 or self._errors:
            self.findings.append(Finding(number, words, status, "".join(self._errors)))

    # ------------------------------------------------------------ what a request is made of
    def _reader(self, name: str, pattern: URLPattern) -> str:
        """Return who sends it: mostly somebody whom the address lets in."""
        if self.chance.random() < 0.2:
            return self.chance.choice(READERS)
        if name.startswith("portal:"):
            return CUSTOMER
        wanted = getattr(pattern.callback, "required_permission", None)
        able = [role for role in Role.values if wanted is None or wanted in ROLE_MAP[role]]
        return self.chance.choice([*able, PIN_SESSION] if name.startswith("bench:") else able)

    def _method(self, pattern: URLPattern) -> str:
        if self.chance.random() < 0.05:
            return self.chance.choice(ODD_METHODS)
        refused = self.refused[pattern]
        return self.chance.choice([one for one in ("GET", "POST", "POST") if one not in refused] or ["GET"])

    def _path(self, name: str, pattern: URLPattern) -> str:
        """Return an address with rows that exist, now and then with something else in one place."""
        parts = self._parts(pattern, name)
        if self.seen[name] and self.chance.random() < 0.75:
            return self.chance.choice(self.seen[name])
        marks = {
            part: {"int": 987_654_321 + n, "uuid": f"00000000-0000-4000-8000-00000000000{n}"}.get(
                kind, f"zq{n}zq"
            )
            for n, (part, kind) in enumerate(parts.items())
        }
        path = reverse(name, kwargs=marks)
        for part, mark in marks.items():
            text = self.shop.word(self.chance, part)
            if self.chance.random() < 0.12:
                text = nasty.one_of_any(self.chance, self.shop.ids)[:3000]
            path = path.replace(str(mark), quote_from_bytes(text.encode("utf-8", "surrogatepass"), safe=""))
        return path

    def _parts(self, pattern: URLPattern, name: str) -> dict[str, str]:
        found = {
            key: type(one).__name__.removesuffix("Converter").lower()
            for key, one in pattern.pattern.converters.items()
        }
        return {"token": "str", **found} if name.startswith("portal:") else found

    def _known(self, client: Client, reader: str, name: str, path: str) -> list[tuple[str, str]]:
        """Return the fields of the page at an address as this reader sees it, with what they hold."""
        key = (reader, name)
        if key not in self.fields or self.chance.random() < 0.1:
            answer = client.get(path)
            page = b"".join(answer.streaming_content) if answer.streaming else answer.content
            answer.close()
            text = page.decode("utf-8", "replace") if answer.status_code == 200 else ""
            self._note_addresses(text)
            found = []
            for tag in _FIELD.finditer(text):
                value = _VALUE.search(tag[0])
                found.append((unescape(tag[1]), unescape(value[1]) if value else ""))
            if found or key not in self.fields:
                self.fields[key] = found
        return self.fields[key]

    def _note_addresses(self, text: str) -> None:
        """Remember the addresses that a page leads to, the latest of each kind."""
        for link in _LINK.findall(text):
            path = unescape(link).partition("?")[0]
            with suppress(Resolver404):
                name = resolve(path).view_name
                self.seen[name] = [*(one for one in self.seen[name][-40:] if one != path), path]

    def _look_around(self) -> None:
        """Open one page of each kind as those who see most, so that real addresses are known."""
        for reader in ("administrator", "lead", "engineer"):
            opened: set[str] = set()
            self._known(self.shop.clients[reader], reader, "office:board", reverse("office:board"))
            while left := [name for name in self.seen if name not in opened and self.seen[name]]:
                opened.update(left)
                for name in left:
                    if name not in {"logout", "bench:switch"}:
                        self._known(self.shop.clients[reader], reader, name, self.seen[name][-1])

    def _filled(self, client: Client, reader: str, name: str, path: str) -> list[tuple[str, str]]:
        """Return a form filled plausibly, with something wrong in a few places."""
        known, chance = self._known(client, reader, name, path), self.chance
        acts = [pair for pair in known if pair[0] == "do"]
        pairs = [
            (one, value or chance.choice(("1", "12.5", "2026-11-30", "word")))
            for one, value in known
            if one != "do"
        ]
        pairs += [chance.choice(acts)] if acts else []
        if chance.random() < 0.5:
            pairs += [
                (chance.choice(nasty.NAMES), nasty.one_of_any(chance, self.shop.ids))
                for _ in range(chance.randint(1, 4))
            ]
        for _ in range(chance.randint(0, 3) if pairs else 0):
            at = chance.randrange(len(pairs))
            pairs[at] = (pairs[at][0], nasty.one_of_any(chance, self.shop.ids))
        if pairs and chance.random() < 0.1:
            del pairs[chance.randrange(len(pairs))]
        if pairs and chance.random() < 0.1:
            pairs.append(chance.choice(pairs))
        if chance.random() < 0.6:
            key = f"{chance.getrandbits(128):032x}"
            pairs = [(one, key if one == "form_key" else value) for one, value in pairs]
        return pairs

    def _query(self, client: Client, reader: str, name: str, path: str) -> str:
        if self.chance.random() < 0.4:
            return ""
        if self.chance.random() < 0.1:
            return self.chance.choice(("%", "&&&=", "%ff%fe", "a=%00", "=" * 200, "&a" * 1200, "é"))
        pairs = [
            (self.chance.choice(nasty.NAMES), nasty.one_of_any(self.chance, self.shop.ids)) for _ in range(2)
        ]
        if self.chance.random() < 0.5:
            pairs += self._filled(client, reader, name, path)[:30]
        return nasty.encoded([(one[:400], value[:4000]) for one, value in pairs]).decode()[:60_000]

    def _body(self, client: Client, reader: str, name: str, path: str) -> tuple[bytes, str]:
        chance, pairs = self.chance, self._filled(client, reader, name, path)
        kind, edge = "application/x-www-form-urlencoded", "edge"
        body = nasty.encoded(pairs)
        if chance.random() < 0.45:
            names = [one for one, _value in pairs if "file" in one or "photo" in one] or [
                "file",
                "files",
                "photo",
                "photos",
            ]
            files = [
                (chance.choice(names), chance.choice(nasty.FILE_NAMES), chance.choice(nasty.FILES))
                for _ in range(chance.randint(0, 3))
            ]
            if chance.random() < 0.02:
                files *= 10
            body, kind = nasty.multipart(pairs, files, edge), f"multipart/form-data; boundary={edge}"
        if chance.random() < 0.05:
            body = body[: chance.randrange(len(body) + 1)]
        if chance.random() < 0.04:
            body = bytes(chance.randrange(256) for _ in range(200))
        if chance.random() < 0.02:
            body = b"[" * 50_000
        if chance.random() < 0.06:
            kind = chance.choice(nasty.TYPES)
        return body, kind

    def _headers(self, body: bytes) -> dict[str, str]:
        chosen = self.chance.sample(sorted(nasty.HEADERS), self.chance.choice((0, 0, 1, 2, 4)))
        named = {one: self.chance.choice(nasty.HEADERS[one]) for one in chosen}
        named.pop("SCRIPT_NAME", None)
        if self.chance.random() < 0.3:
            named.setdefault("HX-Request", "true")
        return {f"HTTP_{one.upper().replace('-', '_')}": value for one, value in named.items()}
