"""Rows of the measurements."""

from repairs.measurements.models.readings import Reading, ReadingQuerySet
from repairs.measurements.models.seats import SeatPlace, SeatQuerySet, SeatRecord

__all__ = ["Reading", "ReadingQuerySet", "SeatPlace", "SeatQuerySet", "SeatRecord"]
