"""A line between browser and server that a test can cut in the middle of a request, as a dead Wi-Fi does."""

from __future__ import annotations

import socket
import threading
import time
from contextlib import suppress
from typing import Any

CHUNK = 8192


class CutLine:
    """Passes bytes on. ``cut()`` breaks every connection and refuses new ones until ``mend()``."""

    def __init__(self, port: int) -> None:
        self._server_port = port
        self._lock = threading.Lock()
        self._open: list[socket.socket] = []
        self._broken = False
        self.pause_s = 0.0
        self.sent_up = 0
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = self._listener.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def cut(self) -> None:
        with self._lock:
            self._broken = True
            for one in self._open:
                with suppress(OSError):
                    one.shutdown(socket.SHUT_RDWR)
                one.close()
            self._open.clear()

    def mend(self) -> None:
        self._broken = False

    def close(self) -> None:
        self.cut()
        self._listener.close()

    def _accept(self) -> None:
        while True:
            try:
                near, _address = self._listener.accept()
            except OSError:
                return
            with self._lock:
                if self._broken:
                    near.close()
                    continue
                far = socket.create_connection(("127.0.0.1", self._server_port))
                self._open += [near, far]
            threading.Thread(target=self._pass, args=(near, far, True), daemon=True).start()
            threading.Thread(target=self._pass, args=(far, near, False), daemon=True).start()

    def _pass(self, source: socket.socket, sink: socket.socket, upwards: bool) -> None:
        with suppress(OSError):
            while data := source.recv(CHUNK):
                sink.sendall(data)
                if upwards:
                    self.sent_up += len(data)
                    time.sleep(self.pause_s)
        for one in (source, sink):
            with suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)

    def __enter__(self) -> CutLine:
        return self

    def __exit__(self, *_error: Any) -> None:
        self.close()
