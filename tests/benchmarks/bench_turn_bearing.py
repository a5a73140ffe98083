"""Turning one bearing over on the recorder: one row, one event, drawing, findings and list, against the floor.

.venv/bin/python -m tests.benchmarks.bench_turn_bearing
"""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import urlencode

from tests.benchmarks.measuring import ROOT, Client, served

BUDGET = 50.0
ROUNDS, TURN, SETTLING = 30, 12, 4

SEED = """
import django
django.setup()
from django.conf import settings
from django.core.management import call_command
from django.test import Client
call_command("migrate", verbosity=0)
call_command("collectstatic", verbosity=0, interactive=False)
from tests.repairs.factories import make_stack_record, make_user
record, client = make_stack_record(), Client()
client.force_login(make_user())
print(record.job.number, client.cookies[settings.SESSION_COOKIE_NAME].value)
"""


class Recorder:
    """A tablet that turns bearing 2 over again and again, as htmx would ask for it."""

    def __init__(self, port: int, number: str, session: str) -> None:
        self.client = Client(port)
        self.page = f"/bench/jobs/{number}/stack/as_found/"
        self.cookie = f"sessionid={session}"
        self.session, self.key = session, 0
        answer = self.client.ask(self._request("GET", self.page))[1].decode()
        found = re.search(r"(?i)set-cookie: csrftoken=(\w+)", answer)
        assert found, "no CSRF cookie"
        self.cookie += f"; csrftoken={found[1]}"
        self.token, self.version = found[1], self._version(answer)

    def _request(self, method: str, address: str, body: str = "") -> bytes:
        lines = [f"{method} {address} HTTP/1.1", "Host: 127.0.0.1", "Connection: keep-alive"]
        lines += [f"Cookie: {self.cookie}", "HX-Request: true"] if body else [f"Cookie: {self.cookie}"]
        if body:
            lines += ["Content-Type: application/x-www-form-urlencoded", f"Content-Length: {len(body)}"]
        return "\r\n".join([*lines, "", body]).encode()

    @staticmethod
    def _version(answer: str) -> str:
        found = re.search(r'name="version" value="(\d+)"', answer)
        assert found, answer[:300]
        return found[1]

    def turn(self) -> float:
        """Turn the bearing over; return the seconds until the whole answer was there."""
        self.key += 1
        form = {
            "csrfmiddlewaretoken": self.token,
            "version": self.version,
            "form_key": f"b{self.key}",
            "do": "turn:b2",
        }
        taken, answer = self.client.ask(self._request("POST", f"{self.page}act/", urlencode(form)))
        text = answer.decode()
        assert text.startswith("HTTP/1.1 200"), text[:200]
        assert "<svg" in text
        self.version = self._version(text)
        return taken


def main() -> int:
    with tempfile.TemporaryDirectory(prefix="mountside-turn-") as folder:
        environment = {
            "DJANGO_SETTINGS_MODULE": "repairs.settings",
            "MOUNTSIDE_SECRET_KEY": "benchmark",
            "MOUNTSIDE_PLAIN_HTTP": "1",
            "MOUNTSIDE_FOLDER": str(Path(folder)),
        }
        seeded = subprocess.run(
            [sys.executable, "-c", SEED],
            env={**os.environ, **environment},
            cwd=ROOT,
            check=True,
            stdout=subprocess.PIPE,
            text=True,
        )
        number, session = seeded.stdout.split()[-2:]
        with (
            served("tests.benchmarks.floor:application()", {}) as floor_port,
            served("repairs.wsgi:application", environment) as port,
        ):
            return _compare(Client(floor_port), Recorder(port, number, session))


def _compare(floor: Client, recorder: Recorder) -> int:
    """Ask both in turn, so that a busy machine is busy for both; the medians' ratio is what counts."""
    request = floor.request("/")
    empty: list[float] = []
    turned: list[float] = []
    begun = time.perf_counter()
    for _round in range(ROUNDS):
        empty += [floor.ask(request)[0] for _ in range(TURN)][SETTLING:]
        turned += [recorder.turn() for _ in range(TURN)][SETTLING:]
    lowest, cost = 1000 * statistics.median(empty), 1000 * statistics.median(turned)
    ratio = cost / lowest
    print(
        f"floor {lowest:.3f} ms, turning a bearing {cost:.2f} ms: {ratio:.1f} times the floor (budget {BUDGET:.0f})"
    )
    print(f"{len(turned)} turns in {time.perf_counter() - begun:.0f} s")
    return 0 if ratio <= BUDGET else 1


if __name__ == "__main__":
    sys.exit(main())
