"""Files of the shop are for the account that runs it: nobody else on the machine reads them."""

from __future__ import annotations

import os
from typing import Final

PRIVATE_FILE: Final = 0o600
PRIVATE_FOLDER: Final = 0o700
_EVERYBODY_ELSE: Final = 0o077


def keep_files_private() -> None:
    """Let whatever this process and its children make be 0600 and 0700; call before anything is opened."""
    os.umask(_EVERYBODY_ELSE)
