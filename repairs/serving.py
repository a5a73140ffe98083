"""How gunicorn serves the shop: ``gunicorn repairs.wsgi --config python:repairs.serving``. The demo is served alike."""

from __future__ import annotations

import socket
import ssl
import struct
from concurrent import futures
from time import monotonic
from typing import Any, Final

from gunicorn import http, sock
from gunicorn.workers import gthread

from repairs.gathered_requests import GATHER_S, Gathered, Worth

workers = 2
threads = 8
worker_class = "repairs.serving.ShopWorker"
keepalive = 5
timeout = 60
graceful_timeout = 30

# Long bodies are read by threads of their own, so that no page waits behind an upload.
UPLOAD_THREADS: Final = 12
# Who takes nothing of an answer for so long is left.
SEND_S: Final = 15
_UPLOAD: Final = object()


class ShopWorker(gthread.ThreadWorker):  # type: ignore[misc]  # gunicorn carries no types
    """A worker in which a request takes a thread when it is there, or is an upload."""

    def init_process(self) -> None:
        self.uploads = futures.ThreadPoolExecutor(UPLOAD_THREADS, thread_name_prefix="upload")
        super().init_process()

    def handle(self, conn: Any) -> Any:
        """Gather what has come in, without waiting; answer the request when it is whole."""
        try:
            gathered = _gathered(conn)
        except OSError as error:
            self.log.debug("A connection ended before its request: %s", error)
            return False
        match gathered.worth(monotonic()):
            case Worth.WAIT:
                return gthread._DEFER
            case Worth.END:
                return False
            case Worth.UPLOAD_THREAD:
                return _UPLOAD
        return self.answer(conn)

    def answer(self, conn: Any) -> Any:
        """Answer a request of which the head at least has been gathered."""
        conn.parser.unreader.unread(bytes(conn.shop_gathered.data))
        conn.shop_gathered = None
        return super().handle(conn)

    def finish_request(self, conn: Any, fs: Any) -> None:
        """Hand an upload over to the threads of uploads; go on with all else as gunicorn does."""
        result = None if fs.cancelled() or fs.exception() else fs.result()
        if result is _UPLOAD and self.alive:
            upload = self.uploads.submit(self.answer, conn)
            upload.add_done_callback(lambda done: self.method_queue.defer(self.finish_request, conn, done))
            return
        super().finish_request(conn, fs)
        if result is gthread._DEFER and conn.shop_gathered.data:
            conn.timeout = conn.shop_gathered.begun + GATHER_S


def _gathered(conn: Any) -> Gathered:
    """Return what has come in of a connection's next request, once TLS is agreed where it must be."""
    conn.sock.setblocking(False)
    gathered: Gathered | None = getattr(conn, "shop_gathered", None)
    if gathered is None:
        gathered = conn.shop_gathered = Gathered()
        if conn.initialized:
            # The client may have sent its next request behind the last one.
            gathered.data += conn.parser.unreader.take_buffered()
    if conn.initialized or _agreed(conn):
        gathered.take(conn.sock)
    return gathered


def _agreed(conn: Any) -> bool:
    """Begin a connection without waiting; return whether requests can be read from it."""
    if conn.cfg.is_ssl and not isinstance(conn.sock, ssl.SSLSocket):
        conn.sock = sock.ssl_wrap_socket(conn.sock, conn.cfg)
    if conn.cfg.is_ssl:
        try:
            conn.sock.do_handshake()
        except ssl.SSLWantReadError:
            return False
    conn.sock.setsockopt(socket.SOL_SOCKET, socket.SO_SNDTIMEO, struct.pack("ll", SEND_S, 0))
    conn.parser = http.get_parser(conn.cfg, conn.sock, conn.client)
    conn.initialized = True
    return True


def post_worker_init(worker: Any) -> None:
    """Delete what a killed server left behind; the first of the workers does it."""
    if worker.age > 1:
        return
    from django.db import connections

    from repairs.ledger.files import sweep_at_start

    try:
        sweep_at_start()
    except Exception:
        # Nothing that is left behind is worth a server that does not start.
        worker.log.exception("What a killed server left behind could not be looked through")
    finally:
        connections.close_all()
