"""Files that wait between their preview and their import: in the shop's folder, named by their digest."""

from __future__ import annotations

import hashlib
import re
import tempfile
import time
from pathlib import Path
from typing import Any, BinaryIO, Final

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _

DIGEST: Final = re.compile(r"[0-9a-f]{64}")
KEPT_FOR_S: Final = 24 * 3600
LINES_AT_ONCE: Final = 500


class FileGoneError(Exception):
    """The file is not kept any more, or never was."""

    def __init__(self) -> None:
        super().__init__(_("The file was deleted after one day. Choose it again."))


def _folder() -> Path:
    return Path(settings.MEDIA_ROOT) / "book-files"


def keep_file(upload: UploadedFile[Any]) -> str:
    """Keep an upload and return its digest; files that nobody took in within a day are removed."""
    folder = _folder()
    folder.mkdir(parents=True, exist_ok=True)
    _remove_old(folder)
    with tempfile.NamedTemporaryFile(dir=folder, suffix=".part", delete=False) as kept:
        for chunk in upload.chunks():
            kept.write(chunk)
    path = Path(kept.name)
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    path.replace(folder / f"{digest}.csv")
    return digest


def _remove_old(folder: Path) -> None:
    oldest = time.time() - KEPT_FOR_S
    for path in folder.iterdir():
        try:
            if path.stat().st_mtime < oldest:
                path.unlink()
        except FileNotFoundError:
            # Another process removed it first.
            continue


def open_kept(digest: str) -> BinaryIO:
    """Open a kept file; raise :class:`FileGoneError` when there is none."""
    if not DIGEST.fullmatch(digest):
        raise FileGoneError
    try:
        return (_folder() / f"{digest}.csv").open("rb")
    except FileNotFoundError as error:
        raise FileGoneError from error


def remove_kept(digest: str) -> None:
    """Remove a file that is not needed any more."""
    if DIGEST.fullmatch(digest):
        (_folder() / f"{digest}.csv").unlink(missing_ok=True)


def is_long(digest: str) -> bool:
    """Whether a kept file has more lines than a page may wait for."""
    lines = 0
    with open_kept(digest) as file:
        while lines <= LINES_AT_ONCE and (chunk := file.read(1 << 16)):
            lines += chunk.count(b"\n")
    return lines > LINES_AT_ONCE
