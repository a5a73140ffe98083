"""Whether the process that does a piece of work still lives: it holds a lock that the kernel drops when it ends.

A heartbeat tells the same, but late: a process that was killed a second ago looks for a minute as if it went on.
"""

from __future__ import annotations

import fcntl
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from time import sleep
from typing import BinaryIO, Final

from django.conf import settings

FOLDER: Final = "running"
ASKS_EVERY_S: Final = 0.3


def _folder() -> Path:
    return Path(settings.SHOP_FOLDER) / FOLDER


@contextmanager
def life_sign(mark: str) -> Iterator[None]:
    """Hold the lock of one attempt, whose mark no other attempt has, for as long as the block runs."""
    folder = _folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = folder / f"{mark}.part"
    with path.open("wb") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        # The file gets its name once it is locked, so that nobody finds it in between and takes its owner for dead.
        path = path.rename(folder / mark)
        try:
            yield
        finally:
            path.unlink(missing_ok=True)


@contextmanager
def turn(name: str, places: int, waiting: Callable[[], object]) -> Iterator[None]:
    """Run the block while holding one of a few places; a killed holder's place is free at once.

    ``waiting`` is called every now and then until a place is free, so that whoever waits is not taken for dead.
    """
    folder = _folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    with ExitStack() as stack:
        files = [stack.enter_context((folder / f"{name}-{n}.turn").open("wb")) for n in range(places)]
        while not any(_locked(file) for file in files):
            waiting()
            sleep(ASKS_EVERY_S)
        yield


def _locked(file: BinaryIO) -> bool:
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def is_alive(mark: str) -> bool | None:
    """Return whether the holder of a mark lives; None where this machine cannot tell."""
    if not mark:
        return None
    try:
        file = (_folder() / mark).open("rb")
    except FileNotFoundError:
        return None
    with file:
        try:
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
    return False


def forget(mark: str) -> None:
    """Clear away what a killed process left behind."""
    if mark and is_alive(mark) is False:
        (_folder() / mark).unlink(missing_ok=True)
