"""What the checker said of a job's stack as it was built and signed, for the tests that are held against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from bearings.public import StoredAssessment, Units, finding_sentence, parse_stack, stack_orders
from repairs.work_orders.judging import stored_findings
from repairs.work_orders.models import Job, StackRecord, Stage

UNCOUPLED: Final = "uncoupled"
RUNNING: Final = "running"


@dataclass(frozen=True, slots=True)
class NoThrust:
    """The motor run uncoupled: up to which speed the load of the stack suffices, and what the checker says of it.

    ``load_rpm`` is None where nothing of the stack slips without thrust, or where that is not known.
    """

    load_rpm: float | None
    speed_rpm: float | None
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """A frequency of a bearing as a multiple of shaft speed; ``refs`` are the bearings that share it."""

    part: str
    refs: tuple[str, ...]
    per_turn: float


def built_record(job: Job) -> StackRecord | None:
    """Return the stack as built and signed, with its assessment; None where there is none. One query."""
    records = job.stack_records.signed().filter(stage=Stage.AS_BUILT, assessment__isnull=False)
    return records.select_related("assessment").order_by("-revision").first()


def case_of(answer: Mapping[str, Any], name: str) -> Mapping[str, Any] | None:
    """Return a case of a stored answer by its name."""
    return next((case for case in answer.get("cases", ()) if case["name"] == name), None)


def no_thrust_of(stored: StoredAssessment, units: Units) -> NoThrust | None:
    """Return what the checker says of a run without thrust; None where the case was not judged."""
    case = case_of(stored.answer, UNCOUPLED)
    if case is None:
        return None
    speeds = [row["test_run_rpm"] for row in case.get("skidding", ()) if not row["enough"]]
    found = [
        one
        for one in stored_findings(stored)
        if one.code == "minimum-load" and one.params.get("case") == UNCOUPLED
    ]
    sentences = tuple(dict.fromkeys(finding_sentence(one, units) for one in found))
    return NoThrust(min(speeds, default=None), case.get("speed_rpm"), sentences)


# A mark on a rolling element meets both rings in one turn of it: it shows at one and at two times its own turn.
PARTS: Final = (("cage", "cage", 1), ("outer", "outer", 1), ("inner", "inner", 1),
                ("ball", "ball", 1), ("ball_twice", "ball", 2))  # fmt: skip


def orders_of(stored: StoredAssessment) -> tuple[Order, ...]:
    """Return the passing orders of the stack's bearings and guides; those that are alike once, with all their refs."""
    found: dict[tuple[str, float], list[str]] = {}
    for ref, orders in stack_orders(parse_stack(stored.stack)).items():
        for part, name, times in PARTS:
            found.setdefault((part, round(times * getattr(orders, name), 6)), []).append(ref)
    return tuple(Order(part, tuple(refs), per_turn) for (part, per_turn), refs in found.items())
