"""Serve the floor, a small and a large shop; ask them in turn; say medians and ratios.

Milliseconds depend on the machine; ratios between pages asked in turn do so much less.
"""

from __future__ import annotations

import argparse
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SMALL, LARGE = 1_000, 100_000
ROUNDS = 25
TURN, SETTLING = 20, 4
WARM_UP = 30
PAGE_BUDGET = 20.0
# Its route, its events and its stack are written in full.
JOB_WITH_HISTORY = "10-0777"


@dataclass(frozen=True, slots=True)
class Page:
    """A page to measure: ``budget`` in multiples of the floor; ``growth`` limits what it may cost in the large shop
    in multiples of the small one. What must stand in the answer proves that it is the page.
    """

    name: str
    address: str
    holds: str
    budget: float = PAGE_BUDGET
    fragment: bool = False
    growth: float | None = None


class Client:
    """One connection that is kept open where the server keeps it; plain sockets, so that it adds little of its own."""

    def __init__(self, port: int, cookie: str = "") -> None:
        self.port, self.cookie = port, cookie
        self.socket: socket.socket | None = None

    def request(self, address: str, *, fragment: bool = False) -> bytes:
        lines = [
            f"GET {address} HTTP/1.1",
            "Host: 127.0.0.1",
            "Accept-Encoding: gzip",
            "Connection: keep-alive",
        ]
        if self.cookie:
            lines.append(f"Cookie: {self.cookie}")
        if fragment:
            lines.append("HX-Request: true")
        return "\r\n".join([*lines, "", ""]).encode()

    def ask(self, request: bytes) -> tuple[float, bytes]:
        """Return the seconds until the answer was there whole, and the answer."""
        begun = time.perf_counter()
        if self.socket is None:
            self.socket = socket.create_connection(("127.0.0.1", self.port))
            self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.socket.sendall(request)
        answer = self._read()
        return time.perf_counter() - begun, answer

    def _read(self) -> bytes:
        assert self.socket is not None
        data = b""
        while b"\r\n\r\n" not in data:
            data += self._more()
        head, _, body = data.partition(b"\r\n\r\n")
        fields = dict(line.lower().split(b": ", 1) for line in head.split(b"\r\n")[1:])
        while not _is_whole(body, fields):
            body += self._more()
        if fields.get(b"connection") == b"close":
            self.socket.close()
            self.socket = None
        return head + b"\r\n\r\n" + body

    def _more(self) -> bytes:
        assert self.socket is not None
        part = self.socket.recv(1 << 18)
        if not part:
            raise ConnectionError("the server closed the connection in the middle of an answer")
        return part


def _is_whole(body: bytes, fields: Mapping[bytes, bytes]) -> bool:
    """Tell whether a body has arrived; an answer without a length comes in chunks."""
    if b"content-length" in fields:
        return len(body) >= int(fields[b"content-length"])
    return body.endswith(b"0\r\n\r\n")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(application: str, environment: Mapping[str, str]) -> Iterator[int]:
    """Serve a WSGI application by one process of gunicorn; yield its port."""
    port = free_port()
    command = [
        sys.executable, "-m", "gunicorn", application, "--bind", f"127.0.0.1:{port}", "--workers", "1",
        "--worker-class", "sync", "--keep-alive", "60", "--log-level", "error", "--chdir", str(ROOT),
    ]  # fmt: skip
    process = subprocess.Popen(command, env={**os.environ, **environment})
    try:
        _wait_for(port)
        yield port
    finally:
        process.terminate()
        process.wait(20)


def _wait_for(port: int) -> None:
    for _try in range(200):
        try:
            socket.create_connection(("127.0.0.1", port)).close()
        except OSError:
            time.sleep(0.05)
        else:
            return
    raise SystemExit("The server did not start.")


FILL = """
import sys, django
django.setup()
from django.core.management import call_command
from tests.benchmarks.big_shop import fill, signed_in_cookie
call_command("migrate", verbosity=0)
call_command("collectstatic", verbosity=0, interactive=False)
fill(int(sys.argv[1]))
print(signed_in_cookie())
"""


@contextmanager
def shop(jobs: int, folder: Path) -> Iterator[Client]:
    """Fill a database of its own in a folder and serve it; yield a client that is signed in."""
    place = folder / str(jobs)
    cookie = place / "cookie"
    environment = {
        "DJANGO_SETTINGS_MODULE": "repairs.settings", "MOUNTSIDE_SECRET_KEY": "benchmark",
        "MOUNTSIDE_PLAIN_HTTP": "1", "MOUNTSIDE_FOLDER": str(place),
    }  # fmt: skip
    if not cookie.exists():
        place.mkdir(parents=True)
        begun = time.perf_counter()
        filled = subprocess.run(
            [sys.executable, "-c", FILL, str(jobs)],
            env={**os.environ, **environment}, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        cookie.write_text(filled.stdout.strip().splitlines()[-1])
        print(f"{jobs:>7} jobs written in {time.perf_counter() - begun:.0f} s")
    with served("repairs.wsgi:application", environment) as port:
        yield Client(port, cookie.read_text())


def measure(pages: list[Page]) -> int:
    """Measure every page in both shops against the floor; return the exit status: 1 when one is over its budget."""
    parser = argparse.ArgumentParser(description="Measure pages against the floor.")
    parser.add_argument("--folder", type=Path, help="keep the two shops in this folder and use them again")
    kept: Path | None = parser.parse_args().folder
    with ExitStack() as stack:
        folder = kept or Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="mountside-benchmark-")))
        floor = Client(stack.enter_context(served("tests.benchmarks.floor:application()", {})))
        small, large = (stack.enter_context(shop(jobs, folder)) for jobs in (SMALL, LARGE))
        print(f"{'page':<28}{'floor':>9}{'1 000':>10}{'100 000':>10}{'× floor':>9}{'budget':>8}{'growth':>8}")
        within = [_measure_page(page, floor, small, large) for page in pages]
    return 0 if all(within) else 1


def _measure_page(page: Page, floor: Client, small: Client, large: Client) -> bool:
    asked = [
        (floor, floor.request("/")),
        *((client, client.request(page.address, fragment=page.fragment)) for client in (small, large)),
    ]
    _prove(page, large)
    for client, request in asked * WARM_UP:
        client.ask(request)
    taken: list[list[float]] = [[], [], []]
    for _round in range(ROUNDS):
        for times, (client, request) in zip(taken, asked, strict=True):
            # The first answers of a turn find the processor's caches filled by another server.
            times.extend([client.ask(request)[0] for _ in range(TURN)][SETTLING:])
    lowest, few, many = (1000 * statistics.median(times) for times in taken)
    cost, growth = many / lowest, many / few
    within = cost <= page.budget and (page.growth is None or growth <= page.growth)
    print(
        f"{page.name:<28}{lowest:>6.3f} ms{few:>7.2f} ms{many:>7.2f} ms{cost:>9.1f}{page.budget:>8.0f}{growth:>8.2f}"
        + ("" if within else "  OVER")
    )
    return within


def _prove(page: Page, client: Client) -> None:
    """Stop where the answer is not the page that is meant: a redirect is quick, but proves nothing."""
    plain = client.request(page.address, fragment=page.fragment).replace(b"Accept-Encoding: gzip\r\n", b"")
    answer = client.ask(plain)[1]
    if b" 200 OK" not in answer[:20] or page.holds.encode() not in answer:
        raise SystemExit(f"{page.name}: not the page that is meant:\n{answer[:600].decode()}")
