"""How fast long writing goes: in short transactions, with room for other writers between them.

SQLite has one writer at a time and no queue: whoever waits sleeps and looks again, up to a tenth of a second later.
Transactions that follow each other at once would win nearly every time. A pause longer than the transaction before
it lets those who look find the database free more often than not.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic, sleep, thread_time
from typing import Final

from django.db import connection

# Aimed at, in time of the processor: a machine that is busy with other things makes no batch smaller.
BATCH_S: Final = 0.02
PAUSE_TO_BATCH: Final = 2.0
# So long sleeps at most who waits for SQLite: a pause of it lets everybody look once.
LONGEST_PAUSE_S: Final = 0.1


class Pace:
    """Sizes the batches of one piece of long writing by the time that they take, and pauses after each."""

    def __init__(self, *, least: int, most: int) -> None:
        """Begin with the least number of rows in a batch; never go over the most."""
        self._least, self._most = min(least, most), most
        self.rows = self._least

    @contextmanager
    def batch(self) -> Iterator[None]:
        """Do one batch of ``rows`` rows. Inside a larger transaction there is nobody to be let in, and no pause."""
        begun, worked = monotonic(), thread_time()
        yield
        took, work = monotonic() - begun, thread_time() - worked
        share = min(2.0, BATCH_S / max(work, 0.001))
        self.rows = max(self._least, min(self._most, int(self.rows * share)))
        if not connection.in_atomic_block:
            sleep(min(LONGEST_PAUSE_S, PAUSE_TO_BATCH * took))
