"""Cut uploads that do not come on, so that slow clients hold nobody's upload up.

A thread that reads a long body waits for its client (heads and short forms are gathered before: ``gathered_requests``).
Who sends nothing for a while is cut; while many threads wait, those that have waited longest are cut sooner, so that
some are always free. The client sends again: each form has its key.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from time import monotonic
from typing import Any, Final

# Without anything from the client for so long, a request is given up.
GIVEN_UP_S: Final = 15.0
# While more than this many threads of a process wait for longer than this, the longest waits are cut.
WAITING_S: Final = 2.0
MOST_WAITING: Final = 4
LOOK_EVERY_S: Final = 0.5


@dataclass(slots=True, eq=False)
class Wait:
    """A thread that waits for the next piece of a request; ``line`` is its socket, or a connection that has one."""

    line: Any
    since: float = field(default_factory=monotonic)


class SlowClients:
    """The threads of one process that wait for clients, looked at twice a second by a thread of its own."""

    def __init__(self) -> None:
        self._waits: set[Wait] = set()
        self._lock = threading.Lock()
        self._looking = False

    def watch(self, line: Any) -> Wait:
        """Watch a connection until ``forget``."""
        wait = Wait(line)
        with self._lock:
            self._waits.add(wait)
            if not self._looking:
                self._looking = True
                threading.Thread(target=self._look, name="slow clients", daemon=True).start()
        return wait

    def forget(self, wait: Wait) -> None:
        """The piece is there, or the connection is over."""
        with self._lock:
            self._waits.discard(wait)

    @contextmanager
    def waiting(self, line: Any) -> Iterator[None]:
        """Watch a connection while one piece is read; None is no connection of a server."""
        if line is None:
            yield
            return
        wait = self.watch(line)
        try:
            yield
        finally:
            self.forget(wait)

    def _look(self) -> None:
        pause = threading.Event()
        while True:
            pause.wait(LOOK_EVERY_S)
            with self._lock:
                for wait in overdue(self._waits, monotonic()):
                    self._waits.discard(wait)
                    _cut(wait.line)


def overdue(waits: set[Wait], now: float) -> list[Wait]:
    """Return the waits to be cut, the longest first."""
    waiting = sorted((wait for wait in waits if now - wait.since > WAITING_S), key=lambda wait: wait.since)
    too_many = len(waiting) - MOST_WAITING
    return [wait for place, wait in enumerate(waiting) if place < too_many or now - wait.since > GIVEN_UP_S]


def _cut(line: Any) -> None:
    """Let the thread that reads find the end of the connection."""
    try:
        # TLS may have put another socket in the place of the first one. Its own shutdown would pull the rug from
        # under the thread that reads.
        socket.socket.shutdown(getattr(line, "sock", line), socket.SHUT_RDWR)
    except OSError:
        return


SLOW_CLIENTS: Final = SlowClients()
