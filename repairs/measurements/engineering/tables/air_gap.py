"""Air gap: how far a reading may lie from the mean of its end."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.limits import Limit, Source

SOURCE: Final = Source("ANSI/EASA AR100", "2020", "2.12", "secondary")
USUAL: Final = Limit(None, 10.0, SOURCE)
TWO_POLES: Final = Limit(None, 5.0, SOURCE)
