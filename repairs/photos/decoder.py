"""The process that decodes pictures: one after the other, in bounded memory, behind everybody else's requests.

Asked and answered through its pipes: a head of JSON, then what it announces, each with its length in front.
"""

from __future__ import annotations

import json
import os
import resource
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import IO, Any, Final

from repairs.photos import pixels

MEMORY_BYTES: Final = 270_000_000
# Somebody's reading goes before somebody else's photos.
NICENESS: Final = 10


def main() -> None:
    """Answer until nobody asks any more."""
    os.nice(NICENESS)
    limit_memory(MEMORY_BYTES)
    asked, answers = sys.stdin.buffer, sys.stdout.buffer
    while (head := read_block(asked)) is not None:
        content = read_block(asked)
        if content is None:
            return
        for block in answer_to(json.loads(head), content):
            write_block(answers, block)
        answers.flush()


def answer_to(order: Mapping[str, Any], content: bytes) -> list[bytes]:
    """Return the blocks that answer one order: a head, then the pictures."""
    try:
        if order["want"] == "gray":
            gray = pixels.gray_picture(content, order["most_pixels"])
            return [_head(blocks=1, width=gray.width, height=gray.height), gray.tobytes()]
        made = pixels.picture_sizes(content, order["most_pixels"])
    except pixels.Refusal as refusal:
        return [_head(blocks=0, **refusal.as_dict())]
    except MemoryError:
        too_large = pixels.Refusal("too_many_pixels", limit=pixels.WHOLE_PIXELS)
        return [_head(blocks=0, **too_large.as_dict())]
    head = _head(blocks=3, width=made.width, height=made.height, pixels=made.pixels, taken=made.taken)
    return [head, made.original, made.print_size, made.thumbnail]


def _head(**values: Any) -> bytes:
    return json.dumps(values).encode()


def write_block(stream: IO[bytes], block: bytes) -> None:
    """Write one block."""
    stream.write(len(block).to_bytes(8, "big"))
    stream.write(block)


def read_block(stream: IO[bytes]) -> bytes | None:
    """Return the next block whole, or None when the other side is gone."""
    length = stream.read(8)
    if len(length) < 8:
        return None
    wanted = int.from_bytes(length, "big")
    block = stream.read(wanted)
    return block if len(block) == wanted else None


def limit_memory(more_bytes: int) -> None:
    """Let this process take so much more address space than it has; where that cannot be told, nothing is limited."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[0])
        limit = pages * resource.getpagesize() + more_bytes
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    except (OSError, ValueError):
        return


if __name__ == "__main__":
    main()
