"""Rows of the measurements."""

from repairs.measurements.models.limits import ReadingJudgment, RunConcession, StandingLimit
from repairs.measurements.models.observations import Observation
from repairs.measurements.models.readings import Reading, ReadingQuerySet
from repairs.measurements.models.runs import RunFactor, RunRow, RunRowQuerySet
from repairs.measurements.models.seats import SeatPlace, SeatQuerySet, SeatRecord
from repairs.measurements.models.tests import Instrument, ReadingSheet, TestRecord, TestSetting

__all__ = [
    "Instrument",
    "Observation",
    "Reading",
    "ReadingJudgment",
    "ReadingQuerySet",
    "ReadingSheet",
    "RunConcession",
    "RunFactor",
    "RunRow",
    "RunRowQuerySet",
    "SeatPlace",
    "SeatQuerySet",
    "SeatRecord",
    "StandingLimit",
    "TestRecord",
    "TestSetting",
]
