"""A real disk that fills up under a running server, and a database server that is stopped: 503, then all is well."""

from __future__ import annotations

import http.client
import json
import os
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from tests.reliability.killed_server import KilledServer

BINARIES = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
TOKEN = "a" * 32


class Desk:
    """One person at a server: sends readings under a key of their own and opens pages."""

    def __init__(self, server: KilledServer, told: dict[str, Any]) -> None:
        self.port, self.person = server.port, told["people"][0]
        self.number = told["jobs"][0]["number"]

    def ask(
        self, method: str, fields: dict[str, str] | None = None, **headers: str
    ) -> tuple[int, dict[str, str], str]:
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        sent = {
            "Cookie": f"sessionid={self.person['session']}; csrftoken={TOKEN}",
            "X-CSRFToken": TOKEN,
            "Content-Type": "application/x-www-form-urlencoded",
            **headers,
        }
        line.request(method, f"/bench/jobs/{self.number}/reading/", urlencode(fields or {}), sent)
        answer = line.getresponse()
        text = answer.read().decode()
        line.close()
        return answer.status, dict(answer.getheaders()), text

    def send(self, key: str, **headers: str) -> tuple[int, dict[str, str], str]:
        fields = {"quantity": "Run-out", "unit": "µm", "moment": "as_found", "value": "12", "form_key": key}
        return self.ask("POST", {**fields, "note": "x" * 290}, **headers)


def until_sent(desk: Desk, key: str) -> None:
    end = time.monotonic() + 40
    while (status := desk.send(key)[0]) == 503 and time.monotonic() < end:
        time.sleep(0.3)
    assert status == 302


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 40 MB of its own, which only an administrator of the machine may make."""
    folder = tmp_path / "disk"
    folder.mkdir()
    if (
        os.geteuid() != 0
        or subprocess.run(["mount", "-t", "tmpfs", "-o", "size=40m", "tmpfs", folder], check=False).returncode
    ):
        pytest.skip("a small disk cannot be mounted here")
    yield folder
    subprocess.run(["umount", "-l", folder], check=True)


def test_a_disk_that_is_full_in_the_middle_loses_and_doubles_nothing(small_disk):
    server = KilledServer(small_disk)
    told = server.seed(1)
    server.start()
    try:
        desk = Desk(server, told)
        assert desk.send("a" * 32)[0] == 302
        filler = small_disk / "filler"
        with suppress(OSError), filler.open("wb", buffering=0) as file:
            while True:
                file.write(b"x" * 4096)
        kept, key, answer = 0, "", (302, {}, "")
        while answer[0] == 302 and kept < 400:
            key = f"{kept:032d}"
            answer = desk.send(key)
            kept += answer[0] == 302
        assert (answer[0], answer[1]["Retry-After"]) == (503, "10")
        assert "Server disk full" in answer[2]
        entry = desk.send(key, **{"X-Outbox": "later", "X-Outbox-Person": str(desk.person["id"])})
        assert (entry[0], json.loads(entry[2])["state"]) == (503, "wait")
        assert desk.ask("GET")[0] in {200, 503}
        filler.unlink()
        until_sent(desk, key)
        assert desk.send(key)[0] == 302
    finally:
        server.kill()
    assert counted(server) == 1 + kept + 1


def counted(server: KilledServer) -> int:
    reads = "from repairs.measurements.models import Reading; print(Reading.objects.count())"
    return int(server._run("-c", f"import django; django.setup(); {reads}"))


class OnPostgreSQL(KilledServer):
    """The shop's server with its database in a server of its own, which can be stopped and started."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.data, self.socket_port = folder / "data", KilledServer(folder).port
        self._as_postgres(
            "initdb", "-D", self.data, "-U", "mountside", "--auth=trust", "-E", "UTF8", "--locale=C.UTF-8"
        )

    def _as_postgres(self, program: str, *arguments: str | Path) -> None:
        before = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        command = [*before, BINARIES[-1] / program, *arguments]
        subprocess.run(
            command, check=True, cwd=self.folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )

    @property
    def environment(self) -> dict[str, str]:
        address = f"postgresql://mountside@127.0.0.1:{self.socket_port}/postgres"
        return super().environment | {"DATABASE_URL": address}

    def start_database(self) -> None:
        options = f"-p {self.socket_port} -k {self.folder} -c listen_addresses=127.0.0.1 -c fsync=off"
        self._as_postgres("pg_ctl", "-D", self.data, "-w", "-l", self.folder / "log", "-o", options, "start")

    def stop_database(self) -> None:
        self._as_postgres("pg_ctl", "-D", self.data, "-m", "immediate", "-w", "stop")


@pytest.mark.skipif(not BINARIES, reason="no PostgreSQL on this machine")
def test_a_database_that_is_stopped_is_answered_503_and_the_entries_go_once_it_is_back():
    folder = Path("/tmp") / f"mountside-away-{os.getpid()}"
    folder.mkdir()
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    steps: list[Callable[[], None]] = []
    try:
        server = OnPostgreSQL(folder)
        server.start_database()
        steps.append(server.stop_database)
        told = server.seed(1)
        server.start()
        steps.append(server.kill)
        desk = Desk(server, told)
        assert desk.send("a" * 32)[0] == 302
        server.stop_database()
        status, headers, text = desk.ask("GET")
        assert (status, headers["Retry-After"]) == (503, "10")
        assert "Database not responding" in text
        # A page of nobody would make the tablet drop what it keeps of its person.
        assert "X-Person" not in headers
        entry = desk.send("b" * 32, **{"X-Outbox": "later", "X-Outbox-Person": str(desk.person["id"])})
        assert (entry[0], json.loads(entry[2])["state"]) == (503, "wait")
        server.start_database()
        until_sent(desk, "b" * 32)
        assert desk.send("b" * 32)[0] == 302
        assert counted(server) == 2
    finally:
        for step in reversed(steps):
            with suppress(subprocess.CalledProcessError):
                step()
        shutil.rmtree(folder)
