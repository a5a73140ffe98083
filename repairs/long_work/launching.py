"""Start the process that does a piece of work."""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import suppress
from typing import Final

from django.conf import settings
from django.core.management import call_command

# Children of this process that may still run: asked after at each launch, so that none stays behind as a zombie.
_children: Final[list[subprocess.Popen[bytes]]] = []
# Whoever waits for a page comes before whoever waits for a paper or an import.
NICE: Final = 10


def launch(pk: int) -> None:
    """Run a row as the settings say: in a process of its own, at once in this one, or only by hand."""
    if settings.LONG_WORK_RUNS == "at once":
        call_command("long_work", str(pk))
    elif settings.LONG_WORK_RUNS == "apart":
        _launch_apart(pk)


def _launch_apart(pk: int) -> None:
    """Start a process that outlives this one. It hears nothing and says nothing but to the server's log."""
    _children[:] = [child for child in _children if child.poll() is None]
    child = subprocess.Popen(
        [sys.executable, str(settings.ROOT / "manage.py"), "long_work", str(pk)],
        cwd=settings.ROOT,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        start_new_session=True,
    )
    _children.append(child)
    with suppress(OSError):
        os.setpriority(os.PRIO_PROCESS, child.pid, NICE)
