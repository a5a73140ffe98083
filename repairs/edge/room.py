"""How much room is left on the disk of the shop's folder, and when that is too little."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

GIGABYTE: Final = 10**9
# Two gigabytes take a day's photos and papers; of a large disk a twentieth is told, though never more than this.
LEAST_BYTES: Final = 2 * GIGABYTE
LEAST_SHARE: Final = 0.05
MOST_ASKED_BYTES: Final = 20 * GIGABYTE


@dataclass(frozen=True, slots=True)
class Room:
    """What a disk holds and what of it is free, in bytes."""

    free_bytes: int
    total_bytes: int

    @property
    def is_low(self) -> bool:
        """Whether somebody should make room before the disk is full."""
        return self.free_bytes < max(LEAST_BYTES, min(LEAST_SHARE * self.total_bytes, MOST_ASKED_BYTES))

    @property
    def free_gb(self) -> float:
        return self.free_bytes / GIGABYTE

    @property
    def total_gb(self) -> float:
        return self.total_bytes / GIGABYTE


def room_of(folder: Path) -> Room | None:
    """Return the room on a folder's disk, or None where there is no such folder yet."""
    try:
        usage = shutil.disk_usage(folder)
    except OSError:
        return None
    return Room(usage.free, usage.total)
