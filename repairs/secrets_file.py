"""The demo's own secret key, kept in the shop folder."""

from __future__ import annotations

import secrets
from pathlib import Path


def write_secret_key(path: Path) -> str:
    """Write a new random key to ``path``, readable by the owner only, and return it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    key = secrets.token_urlsafe(50)
    path.touch(mode=0o600)
    path.write_text(key)
    return key
