"""Prove a backup whole, and make a shop of it in an empty folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection

from repairs import shop_folder
from repairs.backups import database
from repairs.backups.backup import MEDIA
from repairs.backups.manifest import BackupError, Manifest, differences, read_manifest, stored_file

SHOP_DATABASE = "mountside.sqlite3"


def verify_backup(backup: Path) -> Manifest:
    """Return a backup's manifest when all it names is there unchanged; else raise :class:`BackupError`."""
    manifest = read_manifest(backup)
    if wrong := differences(backup, manifest):
        more = f" And {len(wrong) - 3} more." if len(wrong) > 3 else ""
        raise BackupError(f"{backup} is damaged: {' '.join(wrong[:3])}{more} Use another backup.")
    if manifest.engine == database.SQLITE:
        rows, named = database.read_sqlite(backup / manifest.database)
        _compare_rows(manifest, rows)
        lost = {name for name in named if f"{MEDIA}/{name}" not in manifest.files} - set(manifest.missing)
        if lost:
            raise BackupError(f"{backup} is damaged: {min(lost)} is missing. Use another backup.")
    else:
        database.check_postgresql_dump(backup / manifest.database)
    return manifest


def _compare_rows(manifest: Manifest, rows: dict[str, int]) -> None:
    for table in sorted(set(rows) | set(manifest.rows)):
        if rows.get(table) != manifest.rows.get(table):
            raise BackupError(
                f"Table {table} has {rows.get(table, 'no')} records; the backup counted "
                f"{manifest.rows.get(table, 'none')}."
            )


def restore_backup(backup: Path, into: Path) -> Manifest:
    """Make a shop of a backup in ``into``, which must be empty or not exist; checked before and after.

    While it is under way a mark in the folder keeps everybody from starting it; a restore that was killed begins
    again from the start.
    """
    refuse_target(backup, into)
    manifest = verify_backup(backup)
    if manifest.engine != connection.vendor:
        cure = (
            "Set DATABASE_URL to an empty database"
            if manifest.engine == database.POSTGRESQL
            else "Unset DATABASE_URL"
        )
        raise BackupError(f"This backup is from a {manifest.engine} database. {cure}, then run this again.")
    if manifest.engine == database.POSTGRESQL:
        database.refuse_full_postgresql()
    _begin_folder(into)
    for name in sorted(manifest.files):
        if name != manifest.database:
            _put(backup / name, into / name, manifest.files[name].sha256)
    if manifest.engine == database.SQLITE:
        placed = into / SHOP_DATABASE
        _put(backup / manifest.database, placed, manifest.files[manifest.database].sha256)
        rows, _named = database.read_sqlite(placed)
    else:
        rows = database.restore_postgresql(backup / manifest.database)
    _compare_rows(manifest, rows)
    for folder, _folders, _names in os.walk(into):
        shop_folder.flush_folder(Path(folder))
    _prepare(into)
    (into / shop_folder.RESTORE_MARK).unlink()
    shop_folder.flush_folder(into)
    return manifest


def refuse_target(backup: Path, into: Path) -> None:
    """Refuse a folder with anything in it but an earlier restore that did not finish."""
    if into.resolve().is_relative_to(backup.resolve()) or backup.resolve().is_relative_to(into.resolve()):
        raise BackupError(f"{into} overlaps the backup folder. Choose a separate folder.")
    if into.exists() and not into.is_dir():
        raise BackupError(f"{into} is not a folder. Choose a new or empty folder.")
    if not shop_folder.is_unused(into) and not (into / shop_folder.RESTORE_MARK).exists():
        raise BackupError(f"{into} is not empty. Nothing was changed. Choose a new or empty folder.")


def _begin_folder(into: Path) -> None:
    """Mark the folder; what an earlier restore left in it goes first, and its mark last."""
    shop_folder.make_private_folder(into)
    mark = into / shop_folder.RESTORE_MARK
    if mark.exists():
        for path in into.iterdir():
            if path.is_dir() and path.name != "lost+found":
                shutil.rmtree(path)
            elif path.is_file() and path != mark:
                path.unlink()
    shop_folder.make_private_folder(into / MEDIA)
    shop_folder.write_private_file(mark, "This restore did not finish. Run it again.\n")


def _put(source: Path, target: Path, sha256: str) -> None:
    """Copy a file for its owner only, and read it back."""
    shop_folder.make_private_parents(target)
    with (
        source.open("rb") as reading,
        os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as writing,
    ):
        shutil.copyfileobj(reading, writing, 1 << 20)
        writing.flush()
        os.fsync(writing.fileno())
    if stored_file(target).sha256 != sha256:
        raise BackupError(f"{target} was not written correctly. Check the disk, then run this again.")


def _prepare(into: Path) -> None:
    """Have :func:`finish_restore` run in a process that takes ``into`` for its shop folder."""
    environment = {**os.environ, "MOUNTSIDE_FOLDER": str(into)}
    done = subprocess.run(
        [sys.executable, str(settings.ROOT / "manage.py"), "restore", "--finish"],
        cwd=settings.ROOT,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise BackupError(f"The restored shop could not be prepared: {done.stderr.strip()[-500:]}")


def finish_restore() -> None:
    """Bring an older backup to this version's tables, and collect the static files, which no backup holds."""
    call_command("migrate", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)
