"""Final temperatures of signed runs beside the rise that the checker's friction and seats lead to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from bearings.public import Bearing, StoredAssessment, parse_stack
from repairs.measurements.as_built import RUNNING, UNCOUPLED, case_of
from repairs.measurements.engineering.computed import REFERENCE_RISE_K, Reason, predicted_rise
from repairs.measurements.engineering.shape import Entries, Row
from repairs.measurements.engineering.steadiness import column
from repairs.measurements.engineering.subjects.run_temperatures import CODES
from repairs.measurements.models import TestRecord
from repairs.measurements.shop_tests.codec import answer_of, entries_of
from repairs.work_orders.models import Job, StackRecord, Stage, Step

TEST: Final = "run_temperatures"
# The newest runs of a shop; older ones teach no more.
MOST_RUNS: Final = 200


@dataclass(frozen=True, slots=True)
class RunHeat:
    """A run beside the checker's answer, in °C and K; ``why`` it cannot be compared, None if it can."""

    record: TestRecord
    case: str
    friction_w: float | None
    predicted_k: float | None
    measured_k: float | None
    ambient_c: float | None
    oil_c: float | None
    assumed_oil_c: float | None
    family: str
    why: Reason | None

    @property
    def ratio(self) -> float | None:
        """Measured over predicted rise; None where they cannot be compared."""
        if self.why is not None or not self.predicted_k or self.measured_k is None:
            return None
        return self.measured_k / self.predicted_k


def family_of(stored: StoredAssessment) -> str:
    """Return the mount family: types of the thrust bearings and how they are lubricated; empty where not known."""
    stack = parse_stack(stored.stack)
    types = sorted({one.type for one in stack.items if isinstance(one, Bearing) and one.type})
    method = stack.lubrication.method
    return f"{'+'.join(types)}/{method}" if types and method else ""


def run_heat(record: TestRecord, stored: StoredAssessment | None) -> RunHeat:
    """Return a run beside the answer of its job's stack as built: case uncoupled for a run without thrust."""
    entries, answer = Entries(entries_of(record.entries)), answer_of(record.answer)
    case = {True: UNCOUPLED, False: RUNNING, None: ""}[entries.yes("uncoupled")]
    rows = entries.series("temperatures")
    ambient, oil_c = (_last(rows, code) for code in ("run_ambient", "run_oil"))
    stable = answer.result("stable_min").value is not None
    rise = answer.result("rise_top").value if stable else None
    friction, predicted = (None, None) if stored is None else _predicted(stored.answer, case, stored)
    why: Reason | None = None
    if stored is None:
        why = "no_prediction"
    elif not case:
        why = "no_case"
    elif not stable:
        why = "not_stable"
    elif predicted is None:
        why = "no_friction"
    elif rise is None:
        why = "no_rise"
    oil = None if stored is None else parse_stack(stored.stack).lubrication.temperature_c
    return RunHeat(
        record, case, friction, predicted, rise, ambient, oil_c, oil,
        "" if stored is None else family_of(stored), why,
    )  # fmt: skip


def _last(rows: Sequence[Row], code: str) -> float | None:
    """Return the last figure of a column; None where it was never read."""
    read = [one for one in column(rows, CODES.index(code)) if one is not None]
    return read[-1] if read else None


def _predicted(
    answer: Mapping[str, Any], case_name: str, stored: StoredAssessment
) -> tuple[float | None, float | None]:
    """Return the friction of a case in W, warm where the set changes by heat, and the rise that it leads to."""
    case = case_of(answer, case_name)
    if case is None:
        return None, None
    friction = (case.get("warm") or {}).get("friction_w") or case.get("friction_w")
    seats = [row.get("seat_w") for row in answer["thermal"]["bearings"]]
    if friction is None or not seats or any(one is None for one in seats):
        return friction, None
    oil = parse_stack(stored.stack).lubrication
    known = oil.temperature_c is not None and oil.ambient_c is not None
    at_rise = oil.temperature_c - oil.ambient_c if known else REFERENCE_RISE_K  # type: ignore[operator]
    return friction, predicted_rise(friction, sum(seats), at_rise)


def newest_run(job: Job) -> TestRecord | None:
    """Return the job's last run that stands, with its step. One query."""
    return (
        TestRecord.objects.filter(job=job, test=TEST)
        .standing()
        .select_related("step")
        .order_by("-id")
        .first()
    )


def signed_runs() -> list[RunHeat]:
    """Return the newest runs of the shop whose step is signed, each beside its stack as built. Two queries."""
    found = TestRecord.objects.filter(test=TEST, step__state=Step.State.DONE).standing()
    records = list(found.select_related("job").order_by("-id")[:MOST_RUNS])
    stored = _built({record.job_id for record in records})
    return [run_heat(record, stored.get(record.job_id)) for record in records]


def _built(jobs: Iterable[int]) -> dict[int, StoredAssessment]:
    rows = StackRecord.objects.signed().filter(
        job_id__in=list(jobs), stage=Stage.AS_BUILT, assessment__isnull=False
    )
    found: dict[int, StoredAssessment] = {}
    for row in rows.select_related("assessment").order_by("revision"):
        if row.assessment is not None:
            found[row.job_id] = row.assessment
    return found
