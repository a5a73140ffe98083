"""What can be said of a stack while nobody knows the speed of its motor: all that needs no speed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from bearings.engineering.assessment import check_stack
from bearings.engineering.results import ArrangementResult, Finding
from bearings.stack_file import parse_without_speed


class WithoutSpeed(NamedTuple):
    """Relations and directions of the bearings, and the findings that hold at every speed."""

    arrangement: ArrangementResult
    findings: tuple[Finding, ...]


def check_without_speed(values: Mapping[str, Any]) -> WithoutSpeed:
    """Check a stack file that may lack the rated speed; raise ``StackFileError`` where it has other mistakes.

    What needs a speed lacks it and says nothing milder; a thrust that follows the square of the speed has no size.
    """
    checked = check_stack(parse_without_speed(dict(values)))
    return WithoutSpeed(checked.arrangement, checked.findings)
