"""A copy of the project without anything around it, its commands run as a shop would run them."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "copper lamp 58 river"
ANSWERS = (
    *("--shop", "Bare Test Works", "--units", "si", "--time-zone", "America/Denver"),
    *("--first-name", "Ada", "--username", "ada", "--password-file", "-"),
)
KILLED = -9


def bare_checkout(target: Path) -> Path:
    """Copy what the repository holds, tests left out, to ``target``."""
    listing = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    for name in listing.stdout.splitlines():
        if not name.startswith("tests/") and (ROOT / name).is_file():
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / name, target / name)
    return target


class BareShop:
    """One checkout and one shop folder; a database beside it only where ``database_url`` names one."""

    def __init__(self, checkout: Path, folder: Path, database_url: str = "") -> None:
        self.checkout, self.folder, self.database_url = checkout, folder, database_url

    @property
    def environment(self) -> dict[str, str]:
        """The machine's own, without anything that names another shop or the test's settings."""
        kept = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith(("MOUNTSIDE_", "DJANGO_")) and name != "DATABASE_URL"
        }
        named = {"DATABASE_URL": self.database_url} if self.database_url else {}
        return kept | named | {"MOUNTSIDE_FOLDER": str(self.folder), "PYTHONDONTWRITEBYTECODE": "1"}

    def run(self, *arguments: str, typed: str = "", killed_at: str = "") -> subprocess.CompletedProcess[str]:
        """Run a command; ``killed_at`` names a function (module:path) at whose call the process is killed."""
        command = [sys.executable, "manage.py", *arguments]
        if killed_at:
            command = [sys.executable, "-c", _KILLED_AT, killed_at, *arguments]
        return subprocess.run(
            command,
            cwd=self.checkout,
            env=self.environment,
            input=typed,
            capture_output=True,
            text=True,
            check=False,
            timeout=300,
        )

    def begin(self, **how: str) -> subprocess.CompletedProcess[str]:
        return self.run("begin", "--no-input", *ANSWERS, typed=f"{PASSWORD}\n", **how)

    @contextmanager
    def served(self) -> Iterator[str]:
        """Serve the shop over plain http and give its address."""
        with socket.create_server(("127.0.0.1", 0)) as probe:
            port = probe.getsockname()[1]
        server = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "repairs.wsgi", "--bind", f"127.0.0.1:{port}"],
            cwd=self.checkout,
            env=self.environment | {"MOUNTSIDE_PLAIN_HTTP": "1"},
            stderr=subprocess.DEVNULL,
        )
        try:
            end = time.monotonic() + 60
            while time.monotonic() < end:
                try:
                    socket.create_connection(("127.0.0.1", port), 1).close()
                    break
                except OSError:
                    time.sleep(0.05)
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()
            server.wait()


# Replaces a function by one that kills its own process, then hands the rest of the line to Django.
_KILLED_AT = """
import importlib, os, signal, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "repairs.settings"
module, _, path = sys.argv.pop(1).partition(":")
sys.argv[0] = "manage.py"
import django
django.setup()
def killed(*args, **kwargs):
    os.kill(os.getpid(), signal.SIGKILL)
owner = importlib.import_module(module)
*above, name = path.split(".")
for part in above:
    owner = getattr(owner, part)
setattr(owner, name, killed)
from django.core.management import execute_from_command_line
execute_from_command_line(sys.argv)
"""
