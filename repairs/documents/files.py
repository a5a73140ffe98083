"""The stored files of issued papers: named by their content, so that a changed one gives itself away."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from typing import Final

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

FOLDER: Final = "papers"


class Damage(models.TextChoices):
    """What can be wrong with a stored file."""

    MISSING = "missing", _("missing")
    ALTERED = "altered", _("changed since it was issued")


class DamagedFileError(Exception):
    """A stored file is not what was issued."""

    def __init__(self, damage: Damage) -> None:
        super().__init__(str(damage.label))
        self.damage = damage


def store_bytes(content: bytes) -> str:
    """Write a file named by its content, whole or not at all, and return its path under the media folder."""
    digest = hashlib.sha256(content).hexdigest()
    relative = f"{FOLDER}/{digest[:2]}/{digest}.pdf"
    path = Path(settings.MEDIA_ROOT) / relative
    if path.exists() and path.read_bytes() == content:
        return relative
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_suffix(f".{os.getpid()}.part")
    try:
        with partial.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        partial.rename(path)
    finally:
        partial.unlink(missing_ok=True)
    return relative


def sound_bytes(relative: str) -> bytes:
    """Return a stored file, or raise DamagedFileError when it is missing or its content is not what its name says."""
    try:
        content = (Path(settings.MEDIA_ROOT) / relative).read_bytes()
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError) as error:
        raise DamagedFileError(Damage.MISSING) from error
    if hashlib.sha256(content).hexdigest() != Path(relative).stem:
        raise DamagedFileError(Damage.ALTERED)
    return content
