"""The shop under gunicorn in a process group of its own, to be killed without warning and started again."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
START_WITHIN_S = 30


class KilledServer:
    """One shop folder, one port, and whichever server runs at the moment."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.kills = 0
        self._process: subprocess.Popen[bytes] | None = None
        with socket.create_server(("127.0.0.1", 0)) as probe:
            self.port: int = probe.getsockname()[1]

    @property
    def environment(self) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
        return kept | {
            "DJANGO_SETTINGS_MODULE": "tests.settings",
            "MOUNTSIDE_SECRET_KEY": "for-tests-only",
            "MOUNTSIDE_PLAIN_HTTP": "1",
            "MOUNTSIDE_FOLDER": str(self.folder),
        }

    def seed(self, jobs: int) -> dict[str, Any]:
        """Make an empty database and fill it with what the replay needs."""
        self._run("manage.py", "migrate", "--verbosity", "0")
        told: dict[str, Any] = json.loads(self._run("-m", "tests.reliability.seeding", str(jobs)))
        return told

    def _run(self, *arguments: str) -> str:
        command = [sys.executable, *arguments]
        done = subprocess.run(
            command, cwd=ROOT, env=self.environment, check=True, stdout=subprocess.PIPE, text=True
        )
        return done.stdout

    def start(self) -> None:
        """Start it as a shop does and wait until it listens."""
        command = [
            *(sys.executable, "-m", "gunicorn", "repairs.wsgi", "--config", "python:repairs.serving"),
            *("--forwarder-headers=", "--log-level", "critical", "--bind", f"127.0.0.1:{self.port}"),
        ]
        self._process = subprocess.Popen(
            command, cwd=ROOT, env=self.environment, start_new_session=True, stderr=subprocess.DEVNULL
        )
        end = time.monotonic() + START_WITHIN_S
        while time.monotonic() < end:
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return
            except OSError:
                time.sleep(0.05)
        raise RuntimeError(f"the server did not listen within {START_WITHIN_S} s")

    def kill(self) -> None:
        """End every process of the server at once, as a power cut would."""
        if self._process is not None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()
            self._process = None
            self.kills += 1

    def database(self) -> Path:
        return self.folder / "mountside.sqlite3"
