"""Make a backup: the database first, then the files that its rows name, then the manifest that makes it good."""

from __future__ import annotations

import fcntl
import hashlib
import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from repairs import shop_folder
from repairs.backups.database import copy_database
from repairs.backups.manifest import BackupError, Manifest, StoredFile, read_manifest, stored_file

MEDIA: Final = "media"
UNFINISHED: Final = ".unfinished-"
_NAME: Final = re.compile(r"mountside-\d{8}-\d{6}")
_SETTINGS: Final = (shop_folder.SECRET, shop_folder.SETTINGS)


def make_backup(*, shop: Path, media: Path, into: Path, now: datetime) -> tuple[Path, Manifest]:
    """Make one backup in a new folder below ``into`` and return that folder with what it holds.

    Rows go before files: every file is written before the row that names it and never changes, so whatever the
    copied rows name is there when the files are copied. The backup gets its name only when all of it is on the disk.
    """
    refuse_place(shop, into)
    shop_folder.make_private_folder(into)
    with alone(into):
        _remove_unfinished(into)
        final = into / f"mountside-{now.astimezone(UTC):%Y%m%d-%H%M%S}"
        if final.exists():
            raise BackupError(f"{final} already exists. Wait a second and run the backup again.")
        work = into / f"{UNFINISHED}{final.name}"
        try:
            manifest = _filled(work, shop=shop, media=media, before=newest_backup(into), now=now)
            os.rename(work, final)
        except BaseException:
            shutil.rmtree(work, ignore_errors=True)
            raise
        shop_folder.flush_folder(into)
    return final, manifest


def refuse_place(shop: Path, into: Path) -> None:
    """Refuse a place inside the shop's own folder: what destroys the shop would take its backups too."""
    if into.resolve().is_relative_to(shop.resolve()):
        raise BackupError(f"{into} is inside the shop folder. Choose a folder on another disk or machine.")
    if into.exists() and not into.is_dir():
        raise BackupError(f"{into} is not a folder. Give a folder for the backups.")


def _filled(work: Path, *, shop: Path, media: Path, before: Path | None, now: datetime) -> Manifest:
    work.mkdir(mode=0o700)
    copied = copy_database(work)
    files = {copied.file: stored_file(work / copied.file)}
    earlier = read_manifest(before) if before else None
    for path in _media_files(media):
        name = f"{MEDIA}/{path.relative_to(media)}"
        linked = _linked(work / name, before / name, earlier.files.get(name)) if before and earlier else None
        stored = linked or _copied(path, work / name)
        if stored:
            files[name] = stored
    for name in _SETTINGS:
        if stored := _copied(shop / name, work / name):
            files[name] = stored
    missing = sorted(name for name in copied.named_files if f"{MEDIA}/{name}" not in files)
    manifest = Manifest(
        made_at=now,
        engine=copied.engine,
        database=copied.file,
        rows=copied.rows,
        files=files,
        missing=tuple(missing),
    )
    _flush_tree(work)
    manifest.write(work)
    return manifest


def _media_files(media: Path) -> Iterator[Path]:
    """Files of the media folder, without those that are just being written."""
    for folder, _folders, names in os.walk(media):
        yield from (Path(folder) / name for name in sorted(names) if not name.endswith(".part"))


def _linked(target: Path, earlier: Path, stored: StoredFile | None) -> StoredFile | None:
    """Share a file with the backup before, when it is still what that one's manifest says; else return nothing.

    A file of the media folder is named by its content and never changes. It is read again all the same, so that
    a disk that loses bits is noticed now and not on the day of the restore.
    """
    if stored is None:
        return None
    try:
        if stored_file(earlier) != stored:
            return None
        shop_folder.make_private_parents(target)
        os.link(earlier, target)
    except OSError:
        return None
    return stored


def _copied(source: Path, target: Path) -> StoredFile | None:
    """Copy a file, whole and on the disk; return nothing when it is gone, as a kept upload may be by now."""
    try:
        reading = source.open("rb")
    except FileNotFoundError:
        return None
    shop_folder.make_private_parents(target)
    digest, size = hashlib.sha256(), 0
    with reading, os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as writing:
        while chunk := reading.read(1 << 20):
            digest.update(chunk)
            size += writing.write(chunk)
        writing.flush()
        os.fsync(writing.fileno())
    return StoredFile(sha256=digest.hexdigest(), size_bytes=size)


def _flush_tree(folder: Path) -> None:
    for path, _folders, _names in os.walk(folder):
        shop_folder.flush_folder(Path(path))


@contextmanager
def alone(into: Path) -> Iterator[None]:
    """Hold the folder's lock; it falls with the process that holds it, however that ends."""
    descriptor = os.open(into / ".lock", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield
    except BlockingIOError as error:
        raise BackupError(f"Another backup to {into} is running. Wait until it finishes.") from error
    finally:
        os.close(descriptor)


def _remove_unfinished(into: Path) -> None:
    """Remove what a killed backup left; the lock shows that nobody is working on it."""
    for path in into.glob(f"{UNFINISHED}*"):
        shutil.rmtree(path, ignore_errors=True)


def backups_in(into: Path) -> list[Path]:
    """Return the finished backups in a folder, the newest first."""
    found = (
        [path for path in into.iterdir() if _NAME.fullmatch(path.name) and path.is_dir()]
        if into.is_dir()
        else []
    )
    return sorted(found, key=lambda path: path.name, reverse=True)


def newest_backup(into: Path) -> Path | None:
    """Return the newest finished backup whose manifest can be read."""
    for path in backups_in(into):
        try:
            read_manifest(path)
        except BackupError:
            continue
        return path
    return None


def remove_older(into: Path, keep: int) -> list[Path]:
    """Remove all but the newest ``keep`` backups, and return those removed."""
    with alone(into):
        old = backups_in(into)[keep:]
        for path in old:
            # Under a name that no restore takes, so that one killed half-way is never mistaken for whole.
            gone = path.with_name(f"{UNFINISHED}{path.name}")
            os.rename(path, gone)
            shutil.rmtree(gone)
    return old
