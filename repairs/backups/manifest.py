"""What a backup holds, file by file, so that it can be proven whole without the shop it came from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from repairs.shop_folder import write_private_file

NAME: Final = "manifest.json"
FORMAT: Final = 1


class BackupError(Exception):
    """The backup or the restore cannot go on; the message says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredFile:
    """One file of a backup: SHA-256 of its content, and its size in bytes."""

    sha256: str
    size_bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """One backup. Paths are relative to its folder.

    ``rows`` counts every table at the moment of the copy. ``missing`` names files that rows ask for and that the shop
    itself had lost before; a backup cannot hold them.
    """

    made_at: datetime
    engine: str
    database: str
    rows: Mapping[str, int]
    files: Mapping[str, StoredFile]
    missing: tuple[str, ...] = ()

    @property
    def size_bytes(self) -> int:
        return sum(stored.size_bytes for stored in self.files.values())

    def write(self, folder: Path) -> None:
        told = asdict(self) | {"format": FORMAT, "made_at": self.made_at.isoformat()}
        write_private_file(folder / NAME, json.dumps(told, indent=1, sort_keys=True))


def read_manifest(folder: Path) -> Manifest:
    """Return a backup's manifest; raise :class:`BackupError` where there is none or it cannot be read."""
    try:
        raw: dict[str, Any] = json.loads((folder / NAME).read_text(encoding="utf-8"))
        if raw["format"] != FORMAT:
            raise BackupError(f"{folder / NAME} is of format {raw['format']}; this version reads {FORMAT}.")
        return Manifest(
            made_at=datetime.fromisoformat(raw["made_at"]),
            engine=raw["engine"],
            database=_inside(raw["database"]),
            rows={str(name): int(count) for name, count in raw["rows"].items()},
            files={_inside(name): StoredFile(**stored) for name, stored in raw["files"].items()},
            missing=tuple(raw["missing"]),
        )
    except FileNotFoundError as error:
        raise BackupError(
            f"{folder} is not a finished backup: it has no {NAME}. Choose a folder named mountside-DATE-TIME."
        ) from error
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise BackupError(f"{folder / NAME} cannot be read: {error!r}. Choose another backup.") from error


def _inside(name: str) -> str:
    """Return a relative path that stays below its folder."""
    if Path(name).is_absolute() or ".." in Path(name).parts or not name:
        raise ValueError(f"{name!r} is not in the backup")
    return name


def stored_file(path: Path) -> StoredFile:
    """Return digest and size of a file as it is on the disk now."""
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
        return StoredFile(sha256=digest, size_bytes=file.tell())


def differences(folder: Path, manifest: Manifest) -> list[str]:
    """Return what is wrong with a backup's files, a sentence each; nothing when every one is as it was made."""
    wrong = []
    for name, stored in sorted(manifest.files.items()):
        try:
            now = stored_file(folder / name)
        except OSError as error:
            wrong.append(f"{name} cannot be read: {error.strerror or error}.")
            continue
        if now != stored:
            wrong.append(f"{name} has changed since the backup was made.")
    return wrong
