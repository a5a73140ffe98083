"""The readings file: motor, tests and limits as JSON in, each test judged by the engine, answers out."""

from __future__ import annotations

from repairs.measurements.readings_file.answer import readings_answer
from repairs.measurements.readings_file.judging import FileAnswer, judge_file
from repairs.measurements.readings_file.reader import FileTest, ReadingsFile, parse_readings
from repairs.measurements.readings_file.text import readings_text

__all__ = [
    "FileAnswer",
    "FileTest",
    "ReadingsFile",
    "judge_file",
    "parse_readings",
    "readings_answer",
    "readings_text",
]
