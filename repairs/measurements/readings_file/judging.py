"""The tests of a file, judged by the engine alone."""

from __future__ import annotations

from typing import NamedTuple

from repairs.measurements.engineering.shape import Answer, Verdict
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.readings_file.reader import FileTest, ReadingsFile


class FileAnswer(NamedTuple):
    """Each test with its answer, in the file's order."""

    tests: tuple[tuple[FileTest, Answer], ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of all tests: one that fails, then one that is not checked; noted only where nothing is judged."""
        found = {answer.verdict for _test, answer in self.tests}
        order: tuple[Verdict, ...] = ("fail", "not_checked", "pass")
        return next((one for one in order if one in found), "noted")


def judge_file(file: ReadingsFile) -> FileAnswer:
    """Judge each test of a file against the limits that it names and those of the standards."""
    return FileAnswer(
        tuple((one, check_test(one.code, one.entries, file.machine, one.limits)) for one in file.tests)
    )
