"""Rows of the measurements."""

from repairs.measurements.models.limits import ReadingJudgment, RunConcession, StandingLimit
from repairs.measurements.models.readings import Reading, ReadingQuerySet
from repairs.measurements.models.seats import SeatPlace, SeatQuerySet, SeatRecord

__all__ = [
    "Reading",
    "ReadingJudgment",
    "ReadingQuerySet",
    "RunConcession",
    "SeatPlace",
    "SeatQuerySet",
    "SeatRecord",
    "StandingLimit",
]
