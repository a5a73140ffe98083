"""Which checker it is: the same inputs to the same checker give the same answer."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Final

ROOMS: Final = ("engineering", "stack_file")


@cache
def checker_build() -> str:
    """Return what names the code that reads and judges a stack, as 16 hexadecimal digits: a digest of its files.

    A version is written by hand and can be forgotten; one line changed in these files gives another build.
    """
    home = Path(__file__).parent
    digest = sha256()
    for path in sorted(path for room in ROOMS for path in (home / room).rglob("*.py")):
        digest.update(str(path.relative_to(home)).encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]
