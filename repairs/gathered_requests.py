"""Gather what a client sends until it is worth a thread, so that slow clients hold no page up.

A head, and a short form behind it, is read as it comes in and kept beside the connection; in between the connection
waits at the poller, which costs nothing. Only a long body takes a thread before it is whole, and those threads are few
and apart from the ones that answer pages.
"""

from __future__ import annotations

import re
import ssl
from dataclasses import dataclass, field
from enum import Enum, auto
from time import monotonic
from typing import Any, Final

# A request that is not together after so long is given up.
GATHER_S: Final = 15.0
# A form of so many bytes is gathered; a longer body holds files, and goes to the disk as it is read.
SHORT_BODY_BYTES: Final = 64 * 1024
# Longer heads are refused by the server's own limits on the line and on each field.
LONGEST_HEAD_BYTES: Final = 128 * 1024
_PIECE_BYTES: Final = 16 * 1024
_HEAD_END: Final = b"\r\n\r\n"
_LENGTH: Final = re.compile(rb"\r\ncontent-length:[ \t]*(\d{1,18})[ \t]*\r\n", re.IGNORECASE)
_CODED: Final = re.compile(rb"\r\ntransfer-encoding:", re.IGNORECASE)


class Worth(Enum):
    """What a request that came in so far deserves."""

    WAIT = auto()
    THREAD = auto()
    UPLOAD_THREAD = auto()
    END = auto()


@dataclass(slots=True)
class Gathered:
    """The bytes of one request so far, and since when they come in."""

    begun: float = field(default_factory=monotonic)
    data: bytearray = field(default_factory=bytearray)
    ended: bool = False

    def take(self, line: Any) -> None:
        """Read what is there without waiting; ``line`` is a socket that does not block, plain or of TLS."""
        while not self.ended and len(self.data) <= LONGEST_HEAD_BYTES + SHORT_BODY_BYTES:
            try:
                piece = line.recv(_PIECE_BYTES)
            except (BlockingIOError, InterruptedError, ssl.SSLWantReadError):
                return
            except OSError:
                piece = b""
            self.data += piece
            self.ended = not piece

    def worth(self, now: float) -> Worth:
        """Return what to do with the request as it stands at a moment of ``time.monotonic``."""
        if not self.data and self.ended:
            return Worth.END
        missing = missing_bytes(self.data)
        if missing == 0 or self.ended:
            # What ends too early is told so by the parser.
            return Worth.THREAD
        if missing is None:
            return Worth.UPLOAD_THREAD
        return Worth.END if now - self.begun > GATHER_S else Worth.WAIT


def missing_bytes(data: bytes | bytearray) -> int | None:
    """Return how many bytes a short request lacks at least; None where it is too long to be gathered."""
    head_end = data.find(_HEAD_END)
    if head_end < 0:
        return 1 if len(data) <= LONGEST_HEAD_BYTES else 0
    head = bytes(data[: head_end + 2])
    if _CODED.search(head):
        return None
    found = _LENGTH.search(head)
    if found is None:
        return 0
    length = int(found[1])
    missing = head_end + len(_HEAD_END) + length - len(data)
    if missing <= 0:
        return 0
    return missing if length <= SHORT_BODY_BYTES else None
