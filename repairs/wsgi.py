"""Entry point for a WSGI server."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from typing import Any
from wsgiref.types import WSGIEnvironment

from django.core.wsgi import get_wsgi_application

from repairs.edge.body import content_length, plain_type
from repairs.file_modes import keep_files_private
from repairs.private_logs import keep_links_out_of
from repairs.slow_clients import SLOW_CLIENTS

keep_files_private()
keep_links_out_of(("gunicorn.access", "gunicorn.error"))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "repairs.settings")


# So much must come from a client before it counts as coming on.
PIECE_BYTES = 4096


class WholeBody:
    """The content of a request, which is read whole or not at all.

    A connection that breaks in the middle of a form looks to a WSGI server like the end of a shorter one, and half a
    form must not be carried out: a value may have lost its last figures, and its key too.
    """

    def __init__(self, source: Any, length: int, line: Any = None) -> None:
        self._source, self._left, self._line = source, length, line

    def read(self, size: int = -1) -> bytes:
        wanted = self._left if size is None or size < 0 else min(size, self._left)
        pieces = []
        while wanted:
            with SLOW_CLIENTS.waiting(self._line):
                piece: bytes = self._source.read(min(wanted, PIECE_BYTES))
            if len(piece) < min(wanted, PIECE_BYTES):
                raise OSError("the connection broke in the middle of the request")
            self._left -= len(piece)
            wanted -= len(piece)
            pieces.append(piece)
        return b"".join(pieces)

    def readline(self, size: int = -1) -> bytes:
        limit = self._left if size is None or size < 0 else min(size, self._left)
        with SLOW_CLIENTS.waiting(self._line):
            data: bytes = self._source.readline(limit) if limit else b""
        self._left -= len(data)
        if self._left and len(data) < limit and not data.endswith(b"\n"):
            raise OSError("the connection broke in the middle of the request")
        return data

    def readlines(self, hint: int = -1) -> list[bytes]:
        return list(self)

    def __iter__(self) -> Iterator[bytes]:
        return iter(self.readline, b"")


_application = get_wsgi_application()


def guard(environ: WSGIEnvironment) -> dict[str, object]:
    """Return a request whose content is read whole or not at all, and whose kind the framework can take apart.

    The content goes on as it comes in, and files among it go to the disk, so that no request fills the memory. What is
    too long or unreadable is refused before it is read, by ``repairs.edge``.
    """
    if length := content_length(environ):
        line = environ.get("gunicorn.socket")
        environ["wsgi.input"] = WholeBody(environ["wsgi.input"], length, line)
    environ["CONTENT_TYPE"] = plain_type(environ.get("CONTENT_TYPE", ""))
    return environ


def application(environ: dict[str, object], start_response: Any) -> Iterable[bytes]:
    """Answer a request."""
    return _application(guard(environ), start_response)
