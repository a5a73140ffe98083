"""Have pictures decoded: in a process apart, one at a time for each process of the server."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from types import TracebackType
from typing import Any, Final, TypedDict

from django.conf import settings

from repairs.ledger.transactions import outside_transaction
from repairs.photos.decoder import answer_to, read_block, write_block

# A picture at the limits takes some seconds on a slow machine; whatever takes this long has hung.
LONGEST_S: Final = 90.0
COMMAND = ["-m", "repairs.photos.decoder"]
_one_at_a_time = threading.Lock()


class Head(TypedDict, total=False):
    """What the decoder says of a picture, or why it took none."""

    refused: str
    kind: str
    limit: int
    width: int
    height: int
    pixels: int
    taken: str
    blocks: int


class Decoder:
    """Decodes the pictures of one form. The process is started for the first one and ends with the form.

    It keeps the serving process free for others, cannot take more memory than it may, and dies alone over a file that
    breaks a library.
    """

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Decoder:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._end()

    def ask(self, content: bytes, **order: Any) -> tuple[Head, list[bytes]]:
        """Return head and blocks of the answer to an order; see ``decoder.answer_to``."""
        outside_transaction("A picture")
        with _one_at_a_time:
            if settings.PHOTO_DECODER == "here":
                blocks = answer_to(order, content)
                return json.loads(blocks[0]), blocks[1:]
            return self._ask_apart(content, order)

    def _ask_apart(self, content: bytes, order: dict[str, object]) -> tuple[Head, list[bytes]]:
        process = self._process = self._process or _started()
        assert process.stdin is not None
        assert process.stdout is not None
        watch = threading.Timer(LONGEST_S, process.kill)
        watch.start()
        try:
            for block in (json.dumps(order).encode(), content):
                write_block(process.stdin, block)
            process.stdin.flush()
            head = read_block(process.stdout)
            said = json.loads(head) if head is not None else None
            blocks = [read_block(process.stdout) for _one in range(said["blocks"])] if said else []
        except OSError:
            said, blocks = None, []
        finally:
            watch.cancel()
        whole = [block for block in blocks if block is not None]
        if said is None or len(whole) < len(blocks):
            # It died over this picture; the next one gets a new process.
            self._end()
            return {"blocks": 0, "refused": "unreadable"}, []
        return said, whole

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        for stream in (process.stdin, process.stdout):
            try:
                if stream is not None:
                    stream.close()
            except OSError:
                continue
        process.kill()
        process.wait()


def _started() -> subprocess.Popen[bytes]:
    # One arena, because each thread's own would count as memory that it may never use.
    environment = {**os.environ, "MALLOC_ARENA_MAX": "1", "PYTHONPATH": str(settings.ROOT)}
    return subprocess.Popen(
        [sys.executable, *COMMAND],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=settings.ROOT,
        env=environment,
    )
