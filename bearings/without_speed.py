"""What can be said of a stack while nobody knows the speed of its motor: directions, set and parts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

from bearings.engineering.assessment import check_stack
from bearings.engineering.results import ArrangementResult, Finding
from bearings.engineering.subjects import directions
from bearings.stack_file import parse_stack

TOLD: Final = frozenset(
    {
        *directions.SUBJECT.codes,
        "envelope",
        "mixed-set",
        "not-a-matched-arrangement",
        "spacer-pair",
        "stand-out-mismatch",
        "thrust-through-snap-ring",
    }
)


class WithoutSpeed(NamedTuple):
    """Relations and directions of the bearings, and the findings that need no speed."""

    arrangement: ArrangementResult
    findings: tuple[Finding, ...]


def check_without_speed(values: Mapping[str, Any]) -> WithoutSpeed:
    """Check a stack file that lacks the rated speed; raise ``StackFileError`` where it has other mistakes.

    Speeds are counted in rated speeds, so the rated one is 1. Those that are known in rpm only cannot be counted so
    and stay away, unless their own thrust is given: a thrust that follows the square of the speed would be of any
    size.
    """
    motor = values["motor"]
    counted = {
        name: value
        for name, value in motor.items()
        if not name.endswith("_speed_rpm") or name.replace("_rpm", "_down_thrust_n") in motor
    }
    checked = check_stack(parse_stack({**values, "motor": {"rated_speed_rpm": 1.0, **counted}}))
    found = tuple(finding for finding in checked.findings if finding.code in TOLD)
    return WithoutSpeed(checked.arrangement, found)
