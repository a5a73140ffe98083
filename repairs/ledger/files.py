"""Write files for rows that are not saved yet, and leave none behind whose rows never came.

Each batch of files has a list of its own under ``arriving/``, kept open and locked while its writer lives. At the end
of the batch, or when a later writer finds a list whose writer was killed, whatever no row names is deleted.
"""

from __future__ import annotations

import fcntl
import hashlib
import logging
import os
import secrets
from collections.abc import Callable, Iterable
from pathlib import Path
from time import time
from types import TracebackType
from typing import Final

from django.conf import settings
from django.db import DatabaseError, InterfaceError, OperationalError, connection

# Given paths under the media folder, return those that a row names.
Owner = Callable[[Iterable[str]], set[str]]

LISTS: Final = "arriving"
_FILE, _FOLDER = 0o600, 0o700
# A server may still commit what a client that was killed had asked for.
_COMMIT_MAY_COME_S: Final = 60
_OLD_PART_S: Final = 600
_owners: dict[str, Owner] = {}
logger = logging.getLogger(__name__)


def register_owner(folder: str, owner: Owner) -> None:
    """Say who knows which files of a folder under the media folder belong to rows."""
    _owners[folder] = owner


class NewFiles:
    """Files of one form. Use it as a context around the transaction that saves their rows."""

    def __init__(self) -> None:
        self._list: int | None = None
        self._path = Path()
        self._written: list[str] = []

    def __enter__(self) -> NewFiles:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._list is None:
            return
        try:
            # Whether a commit whose answer was lost took place shows a little later; sweep() looks then.
            if not (isinstance(error, (OperationalError, InterfaceError)) and connection.vendor != "sqlite"):
                _settle(self._path, self._written)
        finally:
            os.close(self._list)

    def write(self, content: bytes, folder: str, suffix: str) -> str:
        """Write a file for good and return its path under the media folder; its name holds its digest.

        No two rows share a file, so that one can be deleted without a look at the others.
        """
        digest = hashlib.sha256(content).hexdigest()
        relative = f"{folder}/{digest[:2]}/{digest}-{secrets.token_hex(4)}{suffix}"
        path = Path(settings.MEDIA_ROOT) / relative
        self._note(relative)
        _make_folder(path.parent)
        number = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _FILE)
        with os.fdopen(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        _flush_folder(path.parent)
        return relative

    def _note(self, relative: str) -> None:
        if self._list is None:
            sweep()
            self._path, self._list = _open_list()
        os.write(self._list, f"{relative}\n".encode())
        self._written.append(relative)


def sweep() -> None:
    """Settle the lists of writers that were killed."""
    for path in sorted(_lists().glob("*.list")):
        if connection.vendor != "sqlite" and _age_s(path) < _COMMIT_MAY_COME_S:
            continue
        try:
            number = os.open(path, os.O_RDONLY)
        except FileNotFoundError:
            continue
        try:
            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
            _settle(path, path.read_text().splitlines())
        except (BlockingIOError, FileNotFoundError):
            continue
        finally:
            os.close(number)


def sweep_at_start() -> None:
    """Settle what killed writers left, and delete half-written files of former times."""
    sweep()
    for path in Path(settings.MEDIA_ROOT).rglob("*.part"):
        if _age_s(path) > _OLD_PART_S:
            path.unlink(missing_ok=True)


def _settle(path: Path, written: list[str]) -> None:
    """Delete the files that no row names, then the list itself; while the database is away both stay."""
    try:
        known = {name for folder, owner in _owners.items() for name in owner(_within(folder, written))}
    except DatabaseError:
        logger.warning("Files of %s are looked at later: the database does not answer", path.name)
        return
    for name in written:
        file = Path(settings.MEDIA_ROOT) / name
        if name not in known and _within_any(name) and file.is_file():
            file.unlink(missing_ok=True)
    path.unlink(missing_ok=True)


def _within(folder: str, names: Iterable[str]) -> list[str]:
    return [name for name in names if name.startswith(f"{folder}/")]


def _within_any(name: str) -> bool:
    """Whether somebody answers for the folder of a file; half a line of a list names none."""
    return any(name.startswith(f"{folder}/") for folder in _owners) and ".." not in name


def _open_list() -> tuple[Path, int]:
    """Return a list that is locked for this writer; a sweep that came between makes it try again."""
    _make_folder(_lists())
    while True:
        path = _lists() / f"{secrets.token_hex(8)}.list"
        number = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND, _FILE)
        fcntl.flock(number, fcntl.LOCK_EX)
        if path.exists():
            return path, number
        os.close(number)


def _lists() -> Path:
    return Path(settings.MEDIA_ROOT) / LISTS


def _age_s(path: Path) -> float:
    try:
        return time() - path.stat().st_mtime
    except FileNotFoundError:
        return 0.0


def _make_folder(folder: Path) -> None:
    """Make a folder and those above it, each for the shop's own account alone."""
    if not folder.is_dir():
        _make_folder(folder.parent)
        folder.mkdir(mode=_FOLDER, exist_ok=True)
        _flush_folder(folder.parent)


def _flush_folder(folder: Path) -> None:
    """Bring a new name in a folder to the disk, as its file was before."""
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
