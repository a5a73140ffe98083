"""When the last good backup was made, and whether that is too long ago."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from repairs.backups.manifest import Manifest
from repairs.shop_folder import is_demo, write_private_file

NAME: Final = "last-backup.json"
# A daily backup that failed once is a day and a half old before anybody can have put it right.
LATE_AFTER: Final = timedelta(hours=36)


@dataclass(frozen=True, slots=True, kw_only=True)
class LastBackup:
    """The last backup that was finished and read back."""

    made_at: datetime
    folder: str
    files: int
    size_bytes: int
    rows: int
    missing: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupState:
    """What an administrator must know. ``last`` is None when no backup was ever made."""

    last: LastBackup | None
    is_late: bool
    is_demo: bool = False


def note_backup(shop: Path, folder: Path, manifest: Manifest) -> None:
    """Keep in the shop folder that a backup was made and found good."""
    last = LastBackup(
        made_at=manifest.made_at,
        folder=str(folder),
        files=len(manifest.files),
        size_bytes=manifest.size_bytes,
        rows=sum(manifest.rows.values()),
        missing=len(manifest.missing),
    )
    told = asdict(last) | {"made_at": last.made_at.isoformat()}
    write_private_file(shop / NAME, json.dumps(told, indent=1))


def backup_state(shop: Path, now: datetime) -> BackupState:
    """Return the state of a shop's backups. A note that cannot be read counts as none."""
    last = _read(shop)
    # A clock that was set back must not hide that no backup is made any more.
    is_late = last is None or not timedelta(minutes=-5) <= now - last.made_at <= LATE_AFTER
    return BackupState(last=last, is_late=is_late, is_demo=is_demo(shop))


def _read(shop: Path) -> LastBackup | None:
    try:
        told: dict[str, Any] = json.loads((shop / NAME).read_text(encoding="utf-8"))
        last = LastBackup(**told | {"made_at": datetime.fromisoformat(told["made_at"])})
        return last if last.made_at.tzinfo else None
    except (OSError, ValueError, KeyError, TypeError):
        return None
